import { Button, Progress } from "@mantine/core";
import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { preparedShare, progressWords, queueWords } from "../../../store/clipWords.ts";
import { ClipLinkCare } from "../../shared/ClipLinkCare.tsx";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";
import { ClipRemarks } from "./ClipRemarks.tsx";

/** Under the frame: how far the clip is, how long it takes, stop and go on; why it failed; where its file went; what is odd. */
export function ClipProgress({ m }: { m: Measuring }) {
  const { index } = m;
  if (!index) return null;
  return (
    <>
      <ClipLinkCare session={m.session} shell={m.shell} clips={m.clips} index={index} />
      <State m={m} index={index} />
      <ClipRemarks warnings={index.warnings} />
    </>
  );
}

function State({ m, index }: { m: Measuring; index: ClipIndex }) {
  const prepare = () => void m.clips.prepare(index.clip);
  const { done } = index.progress;
  switch (index.state) {
    case "waiting":
    case "preparing":
      return (
        <div className="clip-progress" role="status">
          <span className="number">
            {index.state === "waiting" ? queueWords(index) : `Preparing clip: ${progressWords(index)}`}
          </span>
          <Progress value={100 * preparedShare(index)} aria-label="Preparing" />
          <Button size="compact-sm" variant="default" onClick={() => void m.clips.cancel(index.clip)}>
            Stop
          </Button>
        </div>
      );
    case "stopped":
      return (
        <div className="clip-progress" role="status">
          <span>
            {index.note ??
              `Preparing was stopped: ${plural(done, "frame")} ${done === 1 ? "is" : "are"} ready.`}
          </span>
          <Button size="compact-sm" onClick={prepare}>
            Go on preparing
          </Button>
        </div>
      );
    case "failed":
      // Without a frame its place says so in full; where the file went is said above.
      return done === 0 || index.link.state !== "as-it-was" ? null : (
        <div className="clip-progress" role="alert">
          <span className="bad">
            {index.failure ?? "The rest of the clip can't be read."} The {plural(done, "frame")} prepared so
            far can be used.
          </span>
          <Button size="compact-sm" variant="default" onClick={prepare}>
            Try again
          </Button>
        </div>
      );
    case "ready":
      return null;
  }
}
