import { Tooltip } from "@mantine/core";
import type { AsAsked } from "../../../src/trials/asAsked.ts";

const SHOWN = {
  yes: { tone: "good", text: "✓ yes" },
  no: { tone: "bad", text: "✕ no" },
  "can't tell": { tone: undefined, text: "? can’t tell" },
} as const;

/** Whether the trial shows the technique asked for; why on hover and focus. */
export function AsAskedChip({ asked }: { asked: AsAsked }) {
  const { tone, text } = SHOWN[asked.answer];
  return (
    <Tooltip label={asked.why}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the reason must be reachable by keyboard */}
      <span className="chip" data-tone={tone} tabIndex={0}>
        {text}
      </span>
    </Tooltip>
  );
}
