import type { IcePoint, TrialMarks } from "../../src/study/types.ts";
import { normal, seeded } from "./random.ts";

/** A map's first eight numbers: shifted (px) and turned and grown a little. */
type Map8 = readonly number[];

/** A clip's marks as if its picture had been shaken: each frame is moved by a map of its own, and all that lies on it. */
export function shaken(marks: TrialMarks, clip: string, seed: number, knocks: boolean): TrialMarks {
  const { iceReference, picture } = marks;
  if (iceReference?.kind !== "ice-points" || !picture) throw new Error("a camera that stands still is meant");
  const random = seeded(seed);
  const marked = marks.marks.map((m) => m.frame);
  const [early, last] = [Math.min(...marked) - 20, Math.max(...marked) + 1];
  const knockAt = knocks ? Math.round((early + last) / 2) : Number.POSITIVE_INFINITY;
  const digits = (value: number, count: number) => Number(value.toFixed(count));
  const maps: Map8[] = Array.from({ length: last + 1 }, (_, n) => {
    const [turn, growth] = [1e-4 * normal(random), 1e-4 * normal(random)];
    const shift = [2 * normal(random) + (n >= knockAt ? 6 : 0), 2 * normal(random)].map((v) => digits(v, 4));
    const own = [1 + growth, -turn, shift[0]!, turn, 1 + growth, shift[1]!].map((v) => digits(v, 7));
    return n === 0 ? [1, 0, 0, 0, 1, 0, 0, 0] : [...own, digits(1e-8 * normal(random), 11), 0];
  });
  const moved = <T extends { readonly xPx: number; readonly yPx: number }>(p: T, frame: number): T => {
    const [a, b, c, d, e, f, g, h] = maps[frame] as [
      ...[number, number, number, number],
      ...[number, number, number, number],
    ];
    const w = g * p.xPx + h * p.yPx + 1;
    return { ...p, xPx: (a * p.xPx + b * p.yPx + c) / w, yPx: (d * p.xPx + e * p.yPx + f) / w };
  };
  // A frame on which nothing was put, and of which the background does not tell.
  const untold = maps.findIndex((_, n) => n > early && !marked.includes(n));
  const put = (frame: number) =>
    iceReference.points.map(
      (p, k): IcePoint => ({
        ...moved(p, frame),
        frame,
        label: knocks ? `${p.label} ${frame < knockAt ? "before" : "after"} ${k}` : p.label,
      }),
    );
  return {
    ...marks,
    marks: marks.marks.map((m) => moved(m, m.frame)),
    iceReference: { ...iceReference, points: knocks ? [...put(early), ...put(last)] : put(early) },
    motion: {
      ...{ clip, still: false, noisePx: 0.061, first: 0 },
      frames: maps.map((map, n) => (n === untold ? null : [...map, 0.05, 0.0123])),
      bumps: knocks ? [{ frame: knockAt, dxPx: 6, dyPx: 0 }] : [],
    },
  };
}
