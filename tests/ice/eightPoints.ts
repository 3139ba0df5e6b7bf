import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { PLACEMENTS } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";

export const camera = PLACEMENTS.diagonal;
export const PICTURE = { width: camera.width, height: camera.height };
const PLACES = [
  [12.6, 1.5],
  [12.6, -1.5],
  [16.2, 1.5],
  [16.2, -1.5],
  [19.8, 1.5],
  [19.8, -1.5],
  [23.4, 1.5],
  [23.4, -1.5],
] as const;

export function points(count = 8, noisePx = 0, seed = 1): IcePoint[] {
  const random = seeded(seed);
  const order = [0, 1, 6, 7, 2, 3, 4, 5].slice(0, count);
  return order.map((k) => {
    const [x, y] = PLACES[k]!;
    const seen = camera.see(x, y, 0);
    return {
      label: `P${k + 1}`,
      xPx: seen.xPx + noisePx * normal(random),
      yPx: seen.yPx + noisePx * normal(random),
      x,
      y,
    };
  });
}

export const scaleOf = (list: readonly IcePoint[], markSd = 1) =>
  fitScale({ kind: "ice-points", points: list }, PICTURE, markSd);

export function refusal(list: readonly IcePoint[], markSd = 1): MeasureError {
  try {
    scaleOf(list, markSd);
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

export const moved = (list: readonly IcePoint[], label: string, change: Partial<IcePoint>) =>
  list.map((p) => (p.label === label ? { ...p, ...change } : p));
