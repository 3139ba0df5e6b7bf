import type { FramesAt } from "../../../src/study/exchange.ts";
import type { PacketPlan } from "../jobs/packetPlan.ts";

/**
 * The frames shown from one moment of a clip to another, seconds from its first frame on; at least one. By the times its packets
 * prove, else by the clip's even rate: then the numbers may be a little beside the moment, but each frame is what it is.
 *
 * @param lasts of the clip, seconds; null = not known
 * @returns null when the clip tells neither
 */
export function framesAt(plan: PacketPlan, lasts: number | null, from: number, to: number): FramesAt | null {
  if (plan.pts && plan.pts.length > 0) {
    const { num, den } = plan.timebase;
    const begins = plan.pts[0]!;
    const times = plan.pts.map((pts) => ((pts - begins) * num) / den);
    const after = times.findIndex((t) => t >= from - 1e-6);
    const first = after < 0 ? times.length - 1 : after;
    const last = times.findLastIndex((t) => t <= to + 1e-6);
    return { first, last: Math.max(first, last), exact: true };
  }
  if (plan.packets === 0 || lasts === null || !(lasts > 0)) return null;
  const rate = plan.packets / lasts;
  const frame = (t: number) => Math.max(0, Math.min(plan.packets - 1, Math.round(t * rate)));
  return { first: frame(from), last: Math.max(frame(from), frame(to)), exact: false };
}
