import { Button } from "@mantine/core";
import { ClipLinkCare } from "../../shared/ClipLinkCare.tsx";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";
import { ClipRemarks } from "./ClipRemarks.tsx";

/** Over the frame where something is wrong with the clip: where its file went, why its rest can't be read, what is odd. */
export function ClipCare({ m }: { m: Pick<Measuring, "session" | "shell" | "clips" | "index"> }) {
  const { index } = m;
  if (!index) return null;
  const { done } = index.progress;
  // Without a frame its place says so in full.
  const broken = index.state === "failed" && done > 0 && index.link.state === "as-it-was";
  return (
    <div className="clip-care">
      <ClipLinkCare session={m.session} shell={m.shell} clips={m.clips} index={index} />
      {broken && (
        <div className="clip-progress" role="alert">
          <span className="bad">
            {index.failure ?? "The rest of the clip can't be read."} The {plural(done, "frame")} prepared so
            far can be used.
          </span>
          <Button size="compact-sm" variant="default" onClick={() => void m.clips.prepare(index.clip)}>
            Try again
          </Button>
        </div>
      )}
      <ClipRemarks warnings={index.warnings} />
    </div>
  );
}
