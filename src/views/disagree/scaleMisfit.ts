import { inverse, Matrix } from "ml-matrix";
import { chiSquareQuantile } from "../../statistics/distributions.ts";
import type { Agreement } from "../joint/agreements.ts";
import { covariances } from "../joint/conditioning.ts";

/** Two views whose ice differs as a whole. */
export interface ScaleMisfit {
  readonly views: readonly [number, number];
  /** By how much longer the second view's ice is than the first's, as a share; turned, degrees to the left; shifted in the middle, metres. */
  readonly longer: number;
  readonly turnedDeg: number;
  readonly shifted: number;
  /** The agreement that lies farthest apart, and how far, metres. */
  readonly worst: Agreement;
  readonly apart: number;
}

/** Of good trials so many may be told that a scale is wrong. */
const FALSE_ALARMS = 0.0002;
/** Fewer points than these in common do not tell a wrong scale from a wrong point. */
const LEAST_POINTS = 4;
/** A scale is wrong where shift, turn and size explain so much of the misfit; else single points are. */
const EXPLAINED = 0.6;

/**
 * Whether a shift, a turn and a size of one view's ice against the other's explain better than chance why their points lie
 * apart: generalised least squares of the differences with all their covariance, cameras' doubt and all. Which of the two is
 * wrong nobody can tell from them; how well a scale fits its own points says nothing about its size.
 */
export function scaleMisfit(views: readonly [number, number], all: readonly Agreement[]): ScaleMisfit | null {
  const own = all.filter((a) => a.what !== "time" && a.views.join() === views.join());
  if (own.length < LEAST_POINTS) return null;
  const places = own.map((a) => a.places![0]);
  const [mx, my] = [0, 1].map((c) => places.reduce((sum, p) => sum + p[c]!, 0) / places.length) as [
    number,
    number,
  ];
  // First less second, for a second that is shifted by (a, b), longer by s and turned by t.
  const rows = own.flatMap((a, k) => {
    const [x, y] = [places[k]![0] - mx, places[k]![1] - my];
    const [tx, ty] = a.travel!;
    const along = (vx: number, vy: number) => tx * vx + ty * vy;
    const left = (vx: number, vy: number) => -ty * vx + tx * vy;
    return [along, left].map((to) => [-to(1, 0), -to(0, 1), -to(x, y), -to(-y, x)]);
  });
  const apart = Matrix.columnVector(own.flatMap((a) => a.differences.map(({ value }) => value)));
  const weights = inverse(new Matrix(covariances(own.flatMap((a) => a.judged))));
  const design = new Matrix(rows);
  const weighed = design.transpose().mmul(weights);
  const found = inverse(weighed.mmul(design)).mmul(weighed).mmul(apart);
  const explained = weighed.mmul(apart).transpose().mmul(found).get(0, 0);
  if (explained < chiSquareQuantile(1 - FALSE_ALARMS, 4)) return null;
  const whole = apart.transpose().mmul(weights).mmul(apart).get(0, 0);
  const left = (whole - explained) / (2 * own.length - 4);
  if (explained < EXPLAINED * whole && left > MOST_LEFT) return null;
  const far = own.map((a) => Math.hypot(...a.differences.map(({ value }) => value)));
  const worst = far.indexOf(Math.max(...far));
  return {
    views,
    longer: found.get(2, 0),
    turnedDeg: (180 / Math.PI) * found.get(3, 0),
    shifted: Math.hypot(found.get(0, 0), found.get(1, 0)),
    worst: own[worst]!,
    apart: far[worst]!,
  };
}

/** Misfit for each degree of freedom that a wrong scale may leave over. */
const MOST_LEFT = 2;
