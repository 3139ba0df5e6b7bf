import type { ClipFacts, Problem, Timebase } from "./decodeLog.ts";

export interface ClipWarning {
  readonly code: string;
  readonly text: string;
}

export interface FrameTimes {
  /** Seconds, first = 0, in presentation order. */
  readonly times: readonly number[];
  readonly rateMedianHz: number | null;
  readonly variableRate: boolean;
  readonly warnings: readonly ClipWarning[];
}

/** Seconds of one integer time after the first frame's. Subtracting integers first keeps it exact. */
export function secondsAfterFirst(pts: number, first: number, { num, den }: Timebase): number {
  return ((pts - first) * num) / den;
}

/**
 * Times in seconds from the integer times of a decode, and what is odd about them.
 * A frame without a time gets its neighbour's plus the median interval, and a warning that says so.
 */
export function frameTimes(pts: readonly (number | null)[], timebase: Timebase): FrameTimes {
  const warnings: ClipWarning[] = [];
  const tick = timebase.num / timebase.den;
  const first = pts.find((p) => p !== null) ?? 0;
  const known = pts.map((p) => (p === null ? null : secondsAfterFirst(p, first, timebase)));
  const steps: number[] = [];
  for (let n = 1; n < known.length; n++) {
    const [a, b] = [known[n - 1], known[n]];
    if (a !== null && a !== undefined && b !== null && b !== undefined) steps.push(b - a);
  }
  const middle = median(steps.filter((s) => s > 0));
  const missing = known.flatMap((t, n) => (t === null ? [n] : []));
  if (missing.length > 0) {
    warnings.push({
      code: "times-missing",
      text: `The file gives no time for ${frames(missing)}; ${missing.length === 1 ? "it is" : "they are"} placed one usual interval after the frame before. Don't use times there.`,
    });
  }
  const times: number[] = [];
  for (const t of known) times.push(t ?? (times.at(-1) ?? 0) + (times.length > 0 ? (middle ?? 0) : 0));

  const stuck: number[] = [];
  const uneven: number[] = [];
  for (let n = 1; n < times.length; n++) {
    const step = times[n]! - times[n - 1]!;
    if (step <= 0) stuck.push(n);
    // Rounding to the timebase moves a step by one tick; a camera's own jitter is under 2 %.
    else if (middle !== null && Math.abs(step - middle) > 1.01 * tick + 0.02 * middle) uneven.push(n);
  }
  if (stuck.length > 0) {
    warnings.push({
      code: "times-not-increasing",
      text: `The time does not advance at ${frames(stuck)}. Frames are in the right order, but times there can't be trusted.`,
    });
  }
  if (uneven.length > 0) {
    const ms = steps.filter((s) => s > 0).map((s) => s * 1000);
    warnings.push({
      code: "uneven-times",
      text: `Frames are not evenly spaced (${Math.min(...ms).toFixed(1)} to ${Math.max(...ms).toFixed(1)} ms apart). Each frame's own time is used.`,
    });
  }
  return {
    times,
    rateMedianHz: middle === null ? null : 1 / middle,
    variableRate: uneven.length > 0 || stuck.length > 0,
    warnings,
  };
}

/** What the coach should know about how the clip was recorded or damaged. `lastTime` in seconds. */
export function clipWarnings(
  facts: ClipFacts,
  problems: readonly Problem[],
  count: number,
  lastTime: number,
  rateMedianHz: number | null,
): ClipWarning[] {
  const warnings: ClipWarning[] = [];
  if (facts.interlaced) {
    warnings.push({
      code: "interlaced",
      text: "This clip is interlaced: each frame shows two moments, one on the odd and one on the even rows. Fast points look combed; mark one of the two edges every time.",
    });
  }
  if (facts.transfer) {
    warnings.push({
      code: "hdr",
      text: "This clip is HDR; its colours look pale here. Where things are is not affected.",
    });
  }
  if (problems.length > 0) {
    const [{ text }] = problems as [Problem];
    const near = [...new Set(problems.map((p) => Math.min(p.nearFrame, count - 1)))];
    warnings.push({
      code: "damaged",
      text: `Parts of this clip are damaged, near ${frames(near)} (${text}). What is shown there and up to the next key frame may be put together from other frames: don't mark what looks wrong or repeated.`,
    });
  }
  const end = lastTime + (rateMedianHz ? 1 / rateMedianHz : 0);
  const said = facts.declaredDuration;
  if (said !== null && said - end > Math.max(0.25, 0.05 * said)) {
    warnings.push({
      code: "ends-early",
      text: `The file says it lasts ${said.toFixed(2)} s, but its frames end at ${end.toFixed(2)} s (${count} frames). It may have been cut off.`,
    });
  }
  return warnings;
}

function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

function frames(list: readonly number[]): string {
  const shown = list.slice(0, 5).join(", ");
  const more = list.length > 5 ? ` and ${list.length - 5} more` : "";
  return `frame${list.length === 1 ? "" : "s"} ${shown}${more}`;
}
