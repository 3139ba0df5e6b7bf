import { Button, Progress } from "@mantine/core";
import type { Asked } from "./useAsked.ts";

/** How far it is, or why there is no answer. */
export function AskedWords({ asked, onStop }: { readonly asked: Asked; readonly onStop: () => void }) {
  if (asked.is === "refused")
    return (
      <p className="care" role="alert">
        {asked.why}
      </p>
    );
  if (asked.is === "answered" && asked.answer.notices.length > 0)
    return (
      <ul className="problem-list screen-only">
        {asked.answer.notices.map((notice) => (
          <li key={notice}>{notice}</li>
        ))}
      </ul>
    );
  if (asked.is !== "asking") return null;
  return (
    <div className="season-line" role="status">
      <Progress
        aria-label="Trials read"
        value={asked.of === 0 ? 0 : (100 * asked.done) / asked.of}
        className="season-progress"
      />
      <span className="quiet">
        {asked.of === 0 ? "Reading …" : `Trial ${asked.done} of ${asked.of} is measured.`}
      </span>
      <Button variant="default" onClick={onStop}>
        Stop
      </Button>
    </div>
  );
}
