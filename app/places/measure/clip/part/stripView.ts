/** A strip of time from left to right: pure, so that it can be tested without a window. */

/** Seconds of the clip, from its first frame on. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

export interface Cell extends Span {
  /** The moment its picture is asked for. */
  readonly at: number;
}

/** A picture of the strip is about so wide, px. */
const CELL_PX = 100;
const MOST_CELLS = 14;

/** A span longer than this is chosen in two goes: roughly, then closely. */
const CLOSE_SECONDS = 90;
/** What is seen closely. */
const WINDOW_SECONDS = 40;
/** What a press on the whole film takes: a sprint with what comes before and after. */
const RUN_SECONDS = 8;

/** The pictures that stand side by side in a strip so many px wide. */
export function cells({ from, to }: Span, width: number): Cell[] {
  const n = Math.max(4, Math.min(MOST_CELLS, Math.floor(width / CELL_PX)));
  const each = (to - from) / n;
  return Array.from({ length: n }, (_, k) => ({
    from: from + k * each,
    to: from + (k + 1) * each,
    at: Number((from + (k + 0.5) * each).toFixed(2)),
  }));
}

/** Whether a picture's own time says enough of a cell: key frames may be far apart. */
export function belongs({ from, to }: Cell, time: number | null): boolean {
  const each = to - from;
  return time !== null && time >= from - each && time <= to;
}

export function isLong(lasts: number): boolean {
  return lasts > CLOSE_SECONDS;
}

/** What is shown closely around a part. */
export function around(part: Span, lasts: number): Span {
  const wide = Math.min(lasts, Math.max(WINDOW_SECONDS, 2 * (part.to - part.from)));
  const middle = (part.from + part.to) / 2;
  const from = Math.max(0, Math.min(lasts - wide, middle - wide / 2));
  return { from, to: from + wide };
}

/** The part that a press at a moment means. */
export function runAt(seconds: number, lasts: number): Span {
  const from = Math.max(0, Math.min(lasts - RUN_SECONDS, seconds - RUN_SECONDS / 4));
  return { from: rounded(from), to: rounded(Math.min(lasts, from + RUN_SECONDS)) };
}

/** The part of which one end is typed and nothing is said of the other. */
export function runFrom(end: "from" | "to", seconds: number, lasts: number): Span {
  return end === "from"
    ? { from: seconds, to: Math.min(lasts, seconds + RUN_SECONDS) }
    : { from: Math.max(0, seconds - RUN_SECONDS), to: seconds };
}

/** A part with one end moved; the ends change places where they pass each other. */
export function withEnd(part: Span, end: "from" | "to", seconds: number, lasts: number): Span {
  const at = rounded(Math.max(0, Math.min(lasts, seconds)));
  const other = end === "from" ? part.to : part.from;
  return { from: Math.min(at, other), to: Math.max(at, other) };
}

/** A hand is no better than that, and neither need it be. */
function rounded(seconds: number): number {
  return Number(seconds.toFixed(2));
}
