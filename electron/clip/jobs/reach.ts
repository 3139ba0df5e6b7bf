import type { Reach } from "../../../src/study/exchange.ts";
import { type ClipJob, rateOf } from "./clipJob.ts";
import { type PacketPlan, startBefore } from "./packetPlan.ts";

/** A jump costs starting ffmpeg anew; what comes sooner than this by itself is waited for. */
const WORTH_A_JUMP_SECONDS = 0.6;
/** Under half a second of what a slow machine does at 1080p. */
const SOON_FRAMES = 20;
/** Before a run's own rate is known: about what two cores do at 1080p. */
const USUAL_RATE = 60;

/** Whether frame `n` comes so soon by itself that nothing need be read to know it. */
export function comesSoon({ run }: ClipJob, n: number): boolean {
  if (!run?.stretch || n < run.next || (run.stretch.until !== null && n >= run.stretch.until)) return false;
  return n - run.next < SOON_FRAMES;
}

/** How frame `n`, which is not prepared, can be reached; `move`: the run that is going must go there. */
export function reachOf(job: ClipJob, n: number, plan: PacketPlan | null): { reach: Reach; move: boolean } {
  const { store, run, source } = job;
  const count = store?.clip?.count ?? plan?.pts?.length ?? null;
  if (count !== null && n >= count) return { reach: "never", move: false };
  if (!store || !plan) return { reach: "going-on", move: false };
  const start = startBefore(plan, n);
  if (!run?.stretch) {
    const jumps = start !== null && start.ordinal > store.readyFrom(source.part?.first);
    return { reach: jumps ? "jump" : "going-on", move: false };
  }
  const passed = n < run.next || (run.stretch.until !== null && n >= run.stretch.until);
  const gain = ((start?.ordinal ?? 0) - run.next) / (rateOf(job) ?? USUAL_RATE);
  if (!passed && gain < WORTH_A_JUMP_SECONDS) return { reach: "going-on", move: false };
  return { reach: start ? "jump" : "going-on", move: true };
}
