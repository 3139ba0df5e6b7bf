import type { EventFrame, Side } from "../../src/study/types.ts";

/** A stretch of time, clip seconds. `open`: where one end is not picked yet and the band fades out. */
export interface Band {
  readonly from: number;
  readonly to: number;
  readonly kind: "ice" | "recovery";
  readonly openStart: boolean;
  readonly openEnd: boolean;
}

/** Longest stretch drawn towards an event that is not picked, real seconds: about one push. */
const FADE_S = 0.35;

/** What one blade does over time, from its blade-off and blade-on frames. Nothing is drawn where nothing is known. */
export function bands(events: readonly EventFrame[], side: Side, end: number, speedFactor: number): Band[] {
  const own = events
    .filter((e) => e.side === side && (e.event === "blade_off" || e.event === "blade_on"))
    .sort((a, b) => a.time - b.time);
  const fade = FADE_S * speedFactor;
  const found: Band[] = [];
  own.forEach((e, i) => {
    const before = own[i - 1];
    const after = own[i + 1];
    if (e.event === "blade_off") {
      if (before?.event !== "blade_on") {
        const from = Math.max(before?.time ?? 0, e.time - fade);
        found.push({ from, to: e.time, kind: "ice", openStart: true, openEnd: false });
      }
      if (after?.event === "blade_on")
        found.push({ from: e.time, to: after.time, kind: "recovery", openStart: false, openEnd: false });
    } else {
      if (after?.event === "blade_off")
        found.push({ from: e.time, to: after.time, kind: "ice", openStart: false, openEnd: false });
      else {
        const to = Math.min(after?.time ?? end, e.time + fade);
        found.push({ from: e.time, to, kind: "ice", openStart: false, openEnd: true });
      }
    }
  });
  return found;
}

/** Round seconds for the axis, at most about ten of them. */
export function ticks(from: number, to: number): number[] {
  const span = Math.max(to - from, 1e-6);
  const rough = span / 8;
  const power = 10 ** Math.floor(Math.log10(rough));
  const size = ([1, 2, 5, 10].find((k) => k * power >= rough) ?? 10) * power;
  const first = Math.ceil(from / size - 1e-9);
  const count = Math.floor(to / size + 1e-9) - first + 1;
  return Array.from({ length: Math.max(0, count) }, (_, i) => Number(((first + i) * size).toFixed(9)));
}
