import { Button, Progress } from "@mantine/core";
import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { preparedShare, progressWords, queueWords } from "../../../store/clipWords.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";

/** In the ribbon's head while the clip is being prepared: how far it is, how long it takes, stop and go on. */
export function ClipProgress({ clips, index }: { clips: Measuring["clips"]; index: ClipIndex }) {
  const prepare = () => void clips.prepare(index.clip);
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
          <Button size="compact-sm" variant="default" onClick={() => void clips.cancel(index.clip)}>
            Stop
          </Button>
        </div>
      );
    case "stopped":
      // Its place asks which part is meant.
      if (index.asksPart && done === 0) return null;
      return (
        <div className="clip-progress" role="status">
          <span>
            {index.note ??
              `Preparing was stopped: ${plural(done, "frame")} ${done === 1 ? "is" : "are"} ready.`}
          </span>
          <Button size="compact-sm" onClick={prepare}>
            {index.asksPart ? "Prepare all of it" : "Go on preparing"}
          </Button>
        </div>
      );
    case "failed":
    case "ready":
      return null;
  }
}

/** The clip is on its way, or was stopped there. */
export function inProgress({ state }: ClipIndex): boolean {
  return state !== "ready" && state !== "failed";
}
