/** What happens in a clip and in which frame, by the contract's rules for event frames. */
import type { ClipSpec } from "./people.ts";
import type { Run } from "./run.ts";
import type { Push, Sign } from "./schedule.ts";
import { frameTimes } from "./timing.ts";
import { lowest, mid, sub, type V } from "./vec.ts";

export type EventName = "blade_off" | "blade_on" | "recovery_min" | "arm_front" | "arm_back";

export interface Happening {
  readonly event: EventName;
  readonly sign: Sign;
  /** Index of the push it belongs to; for arms, of the blade-off it goes with. */
  readonly push: number;
  /** Exact moment, seconds of the run. */
  readonly time: number;
  readonly frame: number;
}

export interface Filmed {
  readonly clip: ClipSpec;
  readonly run: Run;
  /** Seconds of the run that each frame is centred on. */
  readonly times: readonly number[];
  readonly happenings: readonly Happening[];
}

export const bladePoint = (run: Run, sign: Sign, t: number): V => {
  const limb = sign > 0 ? run.poseAt(t).left : run.poseAt(t).right;
  return mid(limb.heel, limb.toe);
};

/** Direction of travel around push i on the ground plan: from the blade-off before it to the one after. */
export function travel(before: V, after: V): V {
  const d = sub(after, before);
  const n = Math.hypot(d[0], d[1]);
  return [d[0] / n, d[1] / n, 0];
}

/** How far `p` lies outward of `from`, on the side `sign`, at right angles to the travel. */
export const outward = (p: V, from: V, along: V, sign: Sign): number =>
  sign * ((p[1] - from[1]) * along[0] - (p[0] - from[0]) * along[1]);

export function film(clip: ClipSpec, run: Run): Filmed {
  const times = frameTimes(clip, run);
  const last = times.length - 1;
  const step = 1 / clip.fps;
  const place = (t: number) => (t - times[0]!) / step;
  // Exact to a billionth of a frame: an event on a frame's own time belongs to that frame.
  const lastUpTo = (t: number) => Math.floor(place(t) + 1e-9);
  const firstFrom = (t: number) => Math.ceil(place(t) - 1e-9);
  const happenings: Happening[] = [];
  const note = (event: EventName, sign: Sign, push: number, time: number, frame: number) => {
    if (frame >= 0 && frame <= last && time >= times[0]! && time <= times[last]!) {
      happenings.push({ event, sign, push, time, frame });
    }
  };
  run.pushes.forEach((p, i) => {
    note("blade_off", p.sign, i, p.off, lastUpTo(p.off));
    const next = run.pushes.find((q) => q.index === p.index + 2);
    const nearest = next && nearestTheMidline(run, p, next);
    if (!nearest) return;
    note("recovery_min", p.sign, i, nearest.time, Math.round(place(nearest.time)));
    note("blade_on", p.sign, i, next.on, firstFrom(next.on));
  });
  for (const arm of run.armExtremes) {
    const push = run.pushes.findIndex((p) => Math.abs(p.off - arm.time) < 0.1);
    note(arm.event, arm.sign, push, arm.time, Math.round(place(arm.time)));
  }
  return { clip, run, times, happenings: happenings.sort((a, b) => a.time - b.time) };
}

/** When the recovering blade is nearest the vertical plane through mid-hip along the travel. */
function nearestTheMidline(run: Run, push: Push, next: Push): { time: number } | null {
  const before = run.pushes[push.index - 1];
  const after = run.pushes[push.index + 1];
  if (!before || !after) return null;
  const along = travel(bladePoint(run, before.sign, before.off), bladePoint(run, after.sign, after.off));
  const out = (t: number) => outward(bladePoint(run, push.sign, t), run.poseAt(t).midHip, along, push.sign);
  const n = 80;
  const at = (k: number) => push.off + (k / n) * (next.on - push.off);
  const best = Array.from({ length: n + 1 }, (_, k) => k).reduce((a, b) => (out(at(b)) < out(at(a)) ? b : a));
  return { time: lowest(out, at(Math.max(0, best - 1)), at(Math.min(n, best + 1))) };
}
