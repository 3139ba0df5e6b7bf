import type { Comparison } from "../../compare/types.ts";
import type { Drawing, DrawingDocument } from "./drawing.ts";

/** Symbols of 18 x 18 px. */
export const SHAPES = {
  square:
    '<rect x="3" y="3" width="12" height="12" rx="2" fill="var(--card)" stroke="var(--ink)" stroke-width="2.5"/>',
  diamond: '<path d="M9 1 l8 8 l-8 8 l-8 -8 z" fill="var(--accent)"/>',
  band: '<rect x="0" y="3" width="18" height="12" rx="3" fill="var(--chip)" stroke="var(--line)"/>',
  clear:
    '<path d="M1 9 h16" stroke="var(--ink)" stroke-width="1.6"/><circle cx="9" cy="9" r="4.5" fill="var(--ink)"/>',
  open: '<path d="M1 9 h16" stroke="var(--ink)" stroke-width="1.6"/><circle cx="9" cy="9" r="4.5" fill="var(--card)" stroke="var(--ink)" stroke-width="1.8"/>',
  thick:
    '<path d="M1 9 h16" stroke="var(--accent)" stroke-width="6"/><circle cx="9" cy="9" r="3.5" fill="var(--ink)"/>',
  thin: '<path d="M1 9 h16" stroke="var(--ink)" stroke-width="1.6"/><circle cx="9" cy="9" r="3.5" fill="var(--ink)"/>',
  interval: '<path d="M9 1 v16" stroke="var(--ink)" stroke-width="1.6"/>',
  dashed: '<path d="M1 9 h16" stroke="var(--ink)" stroke-width="2" stroke-dasharray="5 3"/>',
  line: '<path d="M1 9 h16" stroke="var(--accent)" stroke-width="3"/>',
  dotted: '<path d="M1 9 h16" stroke="var(--ink)" stroke-width="2" stroke-dasharray="1.5 3"/>',
  ring: '<circle cx="9" cy="9" r="7" fill="none" stroke="var(--care)" stroke-width="2.5"/>',
} as const;

export type Shape = keyof typeof SHAPES;
/** What the symbols mean. */
export type Key = readonly (readonly [Shape, string])[];

/** A picture of the study: drawn as wide as asked, with what its symbols mean and what it shows in words. */
export interface Figure {
  /** Of its file, without ending. */
  readonly name: string;
  /** For those who cannot see it: the finding first, then every number. */
  readonly label: string;
  readonly key: Key;
  /** Stands below it; "" for nothing. */
  readonly note: string;
  /** @param document to draw in; absent = the window's own */
  draw(width: number, document?: DrawingDocument): Drawing;
}

export function techniquesKey({ a, b }: Pick<Comparison, "a" | "b">): Key {
  return [
    ["square", a],
    ["diamond", b],
  ];
}
