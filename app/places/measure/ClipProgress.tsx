import { Button, Progress } from "@mantine/core";
import type { Measuring } from "./useMeasure.ts";

/** While the clip is being prepared: how far, how long, stop and go on; afterwards what was odd; or why it failed. */
export function ClipProgress({ m }: { m: Measuring }) {
  const { clip, index } = m;
  if (!index) return null;
  if (index.state === "preparing" || index.state === "waiting") {
    const left =
      clip.rate && index.count > index.ready
        ? `, ${secondsLeft((index.count - index.ready) / clip.rate)} left`
        : "";
    const about = index.countIsExact ? "" : "about ";
    return (
      <div className="clip-progress" role="status">
        <span className="number">
          {index.state === "waiting" && index.ready === 0
            ? "Waiting to prepare this clip"
            : `Preparing clip: ${index.ready} of ${about}${index.count} frames${left}`}
        </span>
        <Progress value={index.count > 0 ? (100 * index.ready) / index.count : 0} aria-label="Preparing" />
        <Button size="compact-sm" variant="default" onClick={() => void m.clips.cancel(index.clip)}>
          Stop
        </Button>
      </div>
    );
  }
  if (index.state === "stopped") {
    return (
      <div className="clip-progress" role="status">
        <span>
          Preparing was stopped: {index.ready} {index.ready === 1 ? "frame is" : "frames are"} ready.
        </span>
        <Button size="compact-sm" onClick={() => void m.clips.prepare(index.clip)}>
          Go on preparing
        </Button>
      </div>
    );
  }
  if (index.state === "failed" && index.ready > 0) {
    return (
      <div className="clip-progress" role="alert">
        <span className="bad">
          {index.failure ?? "The rest of the clip can't be read."} The first {index.ready} frames can be used.
        </span>
        <Button size="compact-sm" variant="default" onClick={() => void m.clips.prepare(index.clip)}>
          Try again
        </Button>
      </div>
    );
  }
  return null;
}

function secondsLeft(seconds: number): string {
  if (seconds < 90) return `${Math.max(1, Math.round(seconds))} s`;
  return `${Math.round(seconds / 60)} min`;
}
