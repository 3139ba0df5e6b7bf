import { median } from "../../src/statistics/median.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { MarkedPicture } from "../../src/study/types.ts";

/** "1.708 s"; with a speed factor "1.708 s of clip = 0.214 s". */
export function timeText(clipSeconds: number, speedFactor: number): string {
  const clip = `${clipSeconds.toFixed(3)} s`;
  return speedFactor === 1 ? clip : `${clip} of clip = ${(clipSeconds / speedFactor).toFixed(3)} s`;
}

/** "plays 8 times slower than life"; null at life speed. */
export function speedText(speedFactor: number): string | null {
  if (speedFactor === 1) return null;
  return speedFactor > 1
    ? `plays ${trim(speedFactor)} times slower than life`
    : `plays ${trim(1 / speedFactor)} times faster than life`;
}

function trim(n: number): string {
  return Number(n.toFixed(3)).toString();
}

/** What marks on this clip are bound to; null until its size is known and two frames have times. */
export function markedPicture(index: ClipIndex): MarkedPicture | null {
  if (index.width <= 0 || index.height <= 0) return null;
  const gaps = index.times.slice(1).map((t, i) => t - (index.times[i] as number));
  const frameInterval = index.rateMedianHz ? 1 / index.rateMedianHz : gaps.length > 0 ? median(gaps) : null;
  if (!frameInterval || frameInterval <= 0) return null;
  return { clip: index.clip, width: index.width, height: index.height, frameInterval };
}

/** "21:04:17" by this machine's clock, of an ISO time or of ms since 1970. */
export function clockTime(time: string | number): string {
  return new Date(time).toLocaleTimeString("en-GB", { hour12: false });
}
