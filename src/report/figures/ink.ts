import * as Plot from "@observablehq/plot";
import type { Drawing, DrawingDocument } from "./drawing.ts";

/** What of the chart library is used where two axes stand side by side: marks placed in px of the drawing. */

export interface Sheet {
  readonly width: number;
  readonly height: number;
  /** Absent: the window's own. */
  readonly document: DrawingDocument | undefined;
}

/** Marks placed in px of the drawing, y down. */
export function drawn(marks: readonly Plot.Markish[], { width, height, document }: Sheet): Drawing {
  return Plot.plot({
    ...(document && { document }),
    ...{ width: Math.round(width), height: Math.ceil(height), margin: 0 },
    style: { fontSize: "13px", background: "none", color: "var(--ink)", overflow: "visible" },
    x: { type: "identity", axis: null },
    y: { type: "identity", axis: null },
    marks: [...marks],
  });
}

export interface Segment {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
}

export interface Spot {
  readonly x: number;
  readonly y: number;
}

export interface Words extends Spot {
  readonly text: string;
}

export function segments(of: readonly Segment[], style: Plot.LinkOptions): Plot.Markish {
  return Plot.link(of, { x1: "x1", y1: "y1", x2: "x2", y2: "y2", stroke: "var(--ink)", ...style });
}

export function boxes(of: readonly Segment[], style: Plot.RectOptions): Plot.Markish {
  return Plot.rect(of, { x1: "x1", y1: "y1", x2: "x2", y2: "y2", ...style });
}

export function words(of: readonly Words[], style: Plot.TextOptions): Plot.Markish {
  return Plot.text(of, { x: "x", y: "y", text: "text", fill: "var(--ink)", ...style });
}

/** Technique a: an open square; b: a filled diamond. Shape and shade tell them apart, not colour. */
export function trialSpots(of: readonly Spot[], which: "a" | "b", r: number): Plot.Markish {
  return Plot.dot(of, {
    ...{ x: "x", y: "y", ...TECHNIQUE_MARK[which] },
    r: which === "a" ? r : r * 1.15,
    strokeWidth: Math.min(2, 0.45 * r),
  });
}

export const TECHNIQUE_MARK = {
  a: { symbol: "square", fill: "var(--card)", stroke: "var(--ink)" },
  b: { symbol: "diamond2", fill: "var(--accent)", stroke: "var(--accent)" },
} as const;

/** Filled: told apart from no difference; open: not. */
export function circles(of: readonly Spot[], filled: boolean, r: number): Plot.Markish {
  return Plot.dot(of, {
    ...{ x: "x", y: "y", r, stroke: "var(--ink)", strokeWidth: 1.8 },
    fill: filled ? "var(--ink)" : "var(--card)",
  });
}
