/** Which moments of a run a clip's frames show. */
import type { ClipSpec } from "./people.ts";
import type { Run } from "./run.ts";

/** Seconds of the run that each frame is centred on: frame n of the file shows the n-th. */
export function frameTimes(clip: ClipSpec, run: Run): number[] {
  const [from, to] = clip.only
    ? [run.progress.timeAt(clip.only[0]), run.progress.timeAt(clip.only[1])]
    : [0, lastOf(run)];
  // The camera's clock is not the run's: the first frame falls where it falls.
  const first = Math.ceil(from * clip.fps) / clip.fps + (clip.phase ?? 0.37) / clip.fps;
  const count = Math.floor((to - first) * clip.fps) + 1;
  return Array.from({ length: count }, (_, n) => first + n / clip.fps);
}

/** Whole runs are filmed until a little after the finish. */
const lastOf = (run: Run): number => run.gateTimes.at(-1)! + 0.25;
