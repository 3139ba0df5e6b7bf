import { type Filmer, filmer, inPicture, minus, see, size, type Vec } from "./lens.ts";
import type { Dice } from "./random.ts";

/** Rows of the table: how the camera looks at the lane, and whether it moves. */
export const VIEWS = [
  "behind",
  "finish",
  "20 deg",
  "45 deg",
  "bench",
  "pan axis",
  "pan 45",
  "pan bench",
  "zoom",
] as const;
export type View = (typeof VIEWS)[number];

type Direction = "behind" | "finish" | "20 deg" | "45 deg" | "bench";

/** Where a camera stands: horizontal distance from the middle of the zone, height, lens. Precision study, sections 1 and 4. */
export interface Placement {
  readonly view: View;
  readonly from: Direction;
  readonly height: number;
  readonly distance: number;
  readonly hfovDeg: number;
  /** A camera that follows the skater, and how many ice points are marked in each frame besides three key frames with eight. */
  readonly follows: { readonly zoom: boolean; readonly points: number } | null;
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
const DIRECTIONS = ["behind", "finish", "20 deg", "45 deg", "bench"] as const;

const STILL: readonly Placement[] = DIRECTIONS.flatMap((from) =>
  HEIGHTS.flatMap((height) =>
    (from === "bench" ? BENCH : AXIS).map(([distance, hfovDeg]) => ({
      ...{ view: from, from, height, distance, hfovDeg },
      follows: null,
    })),
  ),
);

const moving = (
  view: View,
  from: Direction,
  height: number,
  distance: number,
  hfovDeg: number,
  points: number,
): Placement => ({ view, from, height, distance, hfovDeg, follows: { zoom: view === "zoom", points } });

const FOLLOWING: readonly Placement[] = [
  moving("pan axis", "finish", 3, 20, 20, 2),
  moving("pan axis", "finish", 1.5, 20, 30, 4),
  moving("pan axis", "behind", 3, 20, 30, 2),
  moving("pan 45", "45 deg", 3, 20, 30, 2),
  moving("pan 45", "45 deg", 6, 15, 40, 4),
  moving("pan bench", "bench", 3, 9, 40, 2),
  moving("pan bench", "bench", 6, 14, 30, 2),
  moving("pan bench", "bench", 3, 9, 40, 4),
  moving("zoom", "finish", 3, 20, 25, 4),
  moving("zoom", "45 deg", 6, 20, 30, 4),
  moving("zoom", "bench", 6, 14, 35, 4),
];

export const PLACEMENTS: readonly Placement[] = [...STILL, ...FOLLOWING];

export interface PlacedIcePoint {
  readonly label: string;
  /** Where it truly is, and where somebody taped it to be. */
  readonly at: Vec;
  readonly taped: Vec;
}

/** A camera stood up by hand: about where the plan says, its horizon nearly level, either side of the lane. */
export function standCamera(
  d: Dice,
  { from: direction, height, distance, hfovDeg }: Placement,
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
  }[direction];
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

/** Ice points 1.5 m apart along both edges of the lane: for a camera that sees another stretch in every frame. */
export function layLaneMarks(d: Dice, tapeError: number): PlacedIcePoint[] {
  const columns = Array.from({ length: 25 }, (_, k) => k - 12);
  return columns.flatMap((k) =>
    [1.5, -1.5].map((y): PlacedIcePoint => {
      const taped: Vec = [MIDDLE + 1.5 * k, y, 0];
      return {
        label: `${y > 0 ? "L" : "R"}${k}`,
        taped,
        at: [taped[0] + d.normal(tapeError), taped[1] + d.normal(tapeError), 0],
      };
    }),
  );
}

/**
 * The camera as it follows a point that moves along the lane: held by hand on its pan head, so the skater is not
 * quite in the middle and the horizon not quite level; a zoom keeps him about the same size.
 */
export function followCamera(d: Dice, still: Filmer, aim: Vec, zoom: boolean): Filmer {
  const distance = size(minus(aim, still.at));
  const usual = size(minus([MIDDLE, 0, 0.6], still.at));
  const focal = zoom ? still.focal * (distance / usual) ** 0.8 * (1 + d.normal(0.01)) : still.focal;
  const hfovDeg = (360 / Math.PI) * Math.atan(still.width / 2 / focal);
  const missed: Vec = [aim[0] + d.normal(0.15), aim[1] + d.normal(0.1), aim[2] + d.normal(0.1)];
  return filmer(still.at, missed, hfovDeg, { roll: 0.01 + d.normal(0.002), k1: still.k1, k2: still.k2 });
}
