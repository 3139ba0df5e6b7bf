import type * as Plot from "@observablehq/plot";
import { segments, words } from "./ink.ts";

/** Skaters one below the other; px. */
export interface SkaterRows {
  readonly names: readonly string[];
  readonly height: number;
  readonly letters: number;
  readonly top: number;
  readonly bottom: number;
  /** Middle of a skater's row. */
  at(skater: string): number;
}

/** Longer names would leave the drawing no room; the words beside it have them in full. */
const LONGEST_NAME = 22;
/** Mean width of a letter of a name, of its height. */
const LETTER = 0.64;
/** Rows share this much height. */
const HEIGHT = 380;
const [LEAST_ROW, MOST_ROW] = [13, 36];

export function shortened(name: string): string {
  return name.length <= LONGEST_NAME ? name : `${name.slice(0, LONGEST_NAME - 1).trimEnd()}…`;
}

export function nameWidth(names: readonly string[], letters: number): number {
  return 12 + LETTER * letters * Math.max(4, ...names.map((n) => shortened(n).length));
}

export function rowsOf(names: readonly string[], top: number): SkaterRows {
  const height = Math.min(MOST_ROW, Math.max(LEAST_ROW, HEIGHT / Math.max(1, names.length)));
  return {
    ...{ names, height, top, letters: Math.min(14, Math.round(0.8 * height)) },
    bottom: top + height * names.length,
    at: (skater) => top + (names.indexOf(skater) + 0.5) * height,
  };
}

/** Where the drawing begins, right of the names. */
export function nameColumn({ names, letters }: SkaterRows): number {
  return nameWidth(names, letters) + 6;
}

/** The names, and thin lines between the rows. */
export function nameMarks({ names, letters, top, height, at }: SkaterRows, width: number): Plot.Markish[] {
  const between = names.slice(1).map((_, k) => ({
    ...{ x1: 0, x2: width, y1: top + (k + 1) * height, y2: top + (k + 1) * height },
  }));
  return [
    segments(between, { stroke: "var(--line)", strokeOpacity: 0.8 }),
    words(
      names.map((name) => ({ x: 4, y: at(name), text: shortened(name) })),
      { textAnchor: "start", fontSize: letters, fontWeight: 600 },
    ),
  ];
}
