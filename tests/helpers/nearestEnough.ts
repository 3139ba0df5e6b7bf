import {
  bladePoint,
  type Filmed,
  type Happening,
  outward,
  travel,
} from "../../sample-clips/make/happenings.ts";

/** Farther than this from its nearest, metres, an eye sees a blade go on; under it one frame is as good as the other. */
const SEEN_M = 0.007;

/**
 * The frame, on the way from one to that in which a blade is nearest the midline, in which it is as near as an eye can tell.
 *
 * @param least the `recovery_min` of the recovery
 */
export function nearestEnough({ run, times }: Filmed, least: Happening, from: number): number {
  const [before, after] = [run.pushes[least.push - 1], run.pushes[least.push + 1]];
  if (!before || !after) throw new Error(`no recovery around frame ${from}`);
  const along = travel(bladePoint(run, before.sign, before.off), bladePoint(run, after.sign, after.off));
  const out = (frame: number) => {
    const t = times[frame]!;
    return outward(bladePoint(run, least.sign, t), run.poseAt(t).midHip, along, least.sign);
  };
  let at = from;
  while (at !== least.frame && out(at) - out(least.frame) > SEEN_M) at += Math.sign(least.frame - at);
  return at;
}
