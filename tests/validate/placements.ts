import { type Filmer, filmer, inPicture, see, type Vec } from "./lens.ts";
import type { Dice } from "./random.ts";

export const VIEWS = ["behind", "finish", "20 deg", "45 deg", "bench"] as const;
export type View = (typeof VIEWS)[number];

/** Where a camera stands: horizontal distance from the middle of the zone, height, lens. Precision study, section 1. */
export interface Placement {
  readonly view: View;
  readonly height: number;
  readonly distance: number;
  readonly hfovDeg: number;
}

/** Middle of the measured stretch, metres from the start line. */
export const MIDDLE = 18.3;

const HEIGHTS = [1.5, 3, 6];
const AXIS = [
  [10, 65],
  [20, 65],
  [25, 30],
] as const;
const BENCH = [
  [8, 65],
  [14, 65],
  [25, 30],
] as const;

export const PLACEMENTS: readonly Placement[] = VIEWS.flatMap((view) =>
  HEIGHTS.flatMap((height) =>
    (view === "bench" ? BENCH : AXIS).map(([distance, hfovDeg]) => ({ view, height, distance, hfovDeg })),
  ),
);

export interface PlacedIcePoint {
  readonly label: string;
  /** Where it truly is, and where somebody taped it to be. */
  readonly at: Vec;
  readonly taped: Vec;
}

/** A camera stood up by hand: about where the plan says, its horizon nearly level, either side of the lane. */
export function standCamera(
  d: Dice,
  { view, height, distance, hfovDeg }: Placement,
  k: { k1: number; k2: number },
): Filmer {
  const side = d.chance(0.5) ? 1 : -1;
  const from = d.chance(0.5) ? 0 : Math.PI;
  const azimuth = {
    behind: Math.PI + d.normal(0.03),
    finish: d.normal(0.03),
    "20 deg": from + (side * 20 * Math.PI) / 180,
    "45 deg": from + (side * 45 * Math.PI) / 180,
    bench: (side * Math.PI) / 2,
  }[view];
  const at: Vec = [
    MIDDLE + distance * Math.cos(azimuth),
    distance * Math.sin(azimuth),
    height + d.normal(0.05),
  ];
  return filmer(at, [MIDDLE + d.normal(0.2), d.normal(0.1), 0.5], hfovDeg, { roll: d.normal(0.01), ...k });
}

/** Eight points at the lane's edges around a zone of at most 12 m, as much of it as the picture holds; null if less than 4 m. */
export function layIcePoints(
  d: Dice,
  camera: Filmer,
  tapeError: number,
): { points: PlacedIcePoint[]; zone: readonly [number, number] } | null {
  // Near end and far end may be cut off differently by a camera on the lane's axis.
  const edges = [0, 1, 2, 3, 4, 5, 6, 7, 8].flatMap((cut) =>
    [0, 1, 2, 3, 4, 5, 6, 7, 8].map((other) => [MIDDLE - 6 + cut / 2, MIDDLE + 6 - other / 2] as const),
  );
  const seen = (x: number) => [1.5, -1.5].every((y) => inPicture(camera, see(camera, [x, y, 0]), 10));
  const zone = edges
    .filter(([from, to]) => seen(from) && seen(to))
    .sort((a, b) => b[1] - b[0] - (a[1] - a[0]))[0];
  if (!zone || zone[1] - zone[0] < 4) return null;
  const points = [0, 1, 2, 3].flatMap((k) =>
    [1.5, -1.5].map((y, side): PlacedIcePoint => {
      const taped: Vec = [zone[0] + (k / 3) * (zone[1] - zone[0]), y, 0];
      return {
        label: `P${2 * k + side + 1}`,
        taped,
        at: [taped[0] + d.normal(tapeError), taped[1] + d.normal(tapeError), 0],
      };
    }),
  );
  return { points, zone };
}
