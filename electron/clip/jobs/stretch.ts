import type { CleanStart, PacketPlan } from "./packetPlan.ts";

/** Frames `from` … `until`-1 (null = to the clip's end), decoded from the clip's start or from a clean start before `from`. */
export interface Stretch {
  readonly from: number;
  readonly until: number | null;
  readonly start: CleanStart | null;
}

/** Lets through the frames of the stretch: by number from the clip's start, by time from a clean start. */
export function cut({ from, until, start }: Stretch, plan: PacketPlan | null): string {
  if (start && plan?.pts) {
    const end = until === null ? "" : `:end_pts=${plan.pts[until - 1]! + 1}`;
    // Nothing may be left but to see that the clip ends there.
    const begin = plan.pts[from] ?? plan.pts.at(-1)! + 1;
    return `trim=start_pts=${begin}${end},`;
  }
  if (from === 0 && until === null) return "";
  return `trim=start_frame=${from}${until === null ? "" : `:end_frame=${until}`},`;
}

/** Half a frame after the clean start, so that rounding cannot lead to the key frame before it. */
export function seekTime(
  { pts, timebase: { num, den } }: PacketPlan,
  { ordinal, pts: at }: CleanStart,
): number {
  const next = pts?.[ordinal + 1] ?? at;
  return ((at + (next - at) / 2) * num) / den;
}
