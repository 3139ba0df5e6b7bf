import { cpus } from "node:os";
import type { Problem } from "../ffmpeg/decodeLog.ts";
import { joined, type Range } from "./ranges.ts";

/**
 * How far decoding can run ahead of the frames that come out: 16 pictures kept for reordering (H.264 and H.265's
 * largest), one for each decoding thread, and the packets and frames queued between ffmpeg's own threads (from 7.0 on).
 */
const AHEAD = 16 + cpus().length + 16;

/**
 * Frames whose picture the decoder may have put together from others. A problem spoils frames that had not come out
 * yet when it was said, so the first is exactly known; where it ends is known only from a key frame that surely came
 * later. Rather too long than too short: nothing can be marked on these frames.
 *
 * @param count frames known so far
 */
export function doubtfulFrames(
  problems: readonly Problem[],
  frames: readonly ({ readonly key: boolean; readonly length?: number } | undefined)[],
  count: number,
): Range[] {
  const ranges: Range[] = [];
  for (const { nearFrame } of problems) {
    if (nearFrame === null) continue;
    let end = nearFrame + AHEAD;
    while (end < count && frames[end]?.key !== true) end += 1;
    ranges.push([nearFrame, Math.min(end, count)]);
  }
  for (const [n, frame] of frames.entries()) if (frame?.length === 0) ranges.push([n, n + 1]);
  return joined(ranges);
}
