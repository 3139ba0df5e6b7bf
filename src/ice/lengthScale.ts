import { MeasureError } from "../errors.ts";
import type { Warning } from "../kinematics/types.ts";
import type { KnownLength } from "../study/types.ts";
import { derive, deriveOne, Sources, type Uncertain, weightedSum } from "../uncertainty/uncertain.ts";
import { checkKnownLengths } from "./checkKnownLengths.ts";
import type { FittedScale, Ground, UncertainMark } from "./ground.ts";

/**
 * 1 / camera height, for one length alone: how fast the scale grows down the picture. Cameras stand 1.5 to
 * 6 m above the ice, seldom outside 1.2 to 10.
 */
const INVERSE_HEIGHT = { mean: 0.42, u: 0.18 };
/** Focal length in picture widths, for how deep the picture is: 65° across, give or take a third. Bears on widths only through the cosine of the heading. */
const FOCAL_WIDTHS = { mean: 0.785, u: 0.27 };
/** The camera must look along the travel to within this angle: lengths tell nothing of what lies in depth. */
const MOST_HEADING_DEG = 20;
const MOST_TILT_DEG = 12;
/** Rows nearer than this many marking SD give no slope worth having. */
const LEAST_ROWS_SD = 12;

/**
 * Scale from known lengths lying across the lane, filmed along it with a level camera.
 *
 * On the ice seen by a camera without roll, the scale (px per metre across) is linear in the picture's row.
 * Two or more lengths at different distances give that line; one alone gives one point of it, and the slope
 * is only as good as a guess of the camera's height: the farther from the length, the wider the u95.
 */
export function lengthScale(
  lengths: readonly KnownLength[],
  picture: { readonly width: number; readonly height: number },
  markSdPx: number,
): FittedScale {
  checkKnownLengths(lengths, picture);
  const rows = rowScales(lengths, markSdPx, new Sources());
  const spread = Math.max(...rows.map((r) => r.row.value)) - Math.min(...rows.map((r) => r.row.value));
  const twoFrames = spread > LEAST_ROWS_SD * markSdPx;
  // Lengths that lie askew to the view disagree for that reason, which is said instead.
  const straight = tiltOf(lengths) <= MOST_TILT_DEG;
  if (twoFrames && straight) checkGrowth(rows);
  const misfits = twoFrames && straight && rows.length > 2 ? misfitsPx(rows, lengths) : null;
  const rms = (values: readonly number[]) => Math.sqrt(values.reduce((s, v) => s + v * v, 0) / values.length);
  return {
    summary: {
      kind: "known-lengths",
      points: lengths.length,
      rmsPx: misfits && rms(misfits),
      rms: misfits && rms(misfits.map((px, k) => px / rows[k]!.scale.value)),
      rmsAcross: null,
      camera: null,
      lens: null,
      warnings: [
        ...oneLength(twoFrames, lengths.length),
        ...tilted(lengths),
        ...judgeMisfits(misfits, markSdPx),
      ],
    },
    residuals: [],
    hull: [],
    toIce: () => null,
    toPicture: () => null,
    ground: (sources) =>
      groundOf(rowScales(lengths, markSdPx, sources), twoFrames, lengths, picture, sources),
  };
}

interface RowScale {
  /** Picture row of the length's middle, px. */
  readonly row: Uncertain;
  /** Px per metre across the lane in that row. */
  readonly scale: Uncertain;
}

function rowScales(lengths: readonly KnownLength[], markSdPx: number, sources: Sources): RowScale[] {
  return lengths.map((l) => {
    const ends = [l.x1Px, l.y1Px, l.x2Px, l.y2Px].map((value) => sources.add(value, markSdPx));
    const metres = sources.add(l.length, l.u ?? 0);
    const [row, scale] = derive(
      (x1, y1, x2, y2, length) => [(y1! + y2!) / 2, Math.hypot(x2! - x1!, y2! - y1!) / length!],
      [...ends, metres],
    );
    return { row: row!, scale: scale! };
  });
}

/** Straight line scale = at + slope × (row − about) through all lengths, each the same weight. */
function scaleLine(rows: readonly RowScale[]): {
  readonly at: Uncertain;
  readonly slope: Uncertain;
  readonly about: number;
} {
  const about = rows.reduce((sum, r) => sum + r.row.value, 0) / rows.length;
  const fit = (...values: number[]) => {
    const n = rows.length;
    const x = values.slice(0, n).map((row) => row - about);
    const y = values.slice(n);
    const [mx, my] = [x.reduce((a, b) => a + b, 0) / n, y.reduce((a, b) => a + b, 0) / n];
    const slope =
      x.reduce((sum, xi, k) => sum + (xi - mx) * (y[k]! - my), 0) /
      x.reduce((sum, xi) => sum + (xi - mx) ** 2, 0);
    return [my - slope * mx, slope];
  };
  const [at, slope] = derive(fit, [...rows.map((r) => r.row), ...rows.map((r) => r.scale)]);
  return { at: at!, slope: slope!, about };
}

function groundOf(
  rows: readonly RowScale[],
  twoFrames: boolean,
  lengths: readonly KnownLength[],
  picture: { readonly width: number },
  sources: Sources,
): Ground {
  const line = twoFrames
    ? scaleLine(rows)
    : {
        at: weightedSum(rows.map((r) => [1 / rows.length, r.scale])),
        slope: sources.add(INVERSE_HEIGHT.mean, INVERSE_HEIGHT.u),
        about: rows.reduce((sum, r) => sum + r.row.value, 0) / rows.length,
      };
  const focal = sources.add(FOCAL_WIDTHS.mean * picture.width, FOCAL_WIDTHS.u * picture.width);
  const cx = (picture.width - 1) / 2;
  return {
    place: (mark: UncertainMark) => {
      const scale = deriveOne((v, at, slope) => at + slope * (v - line.about), [mark.v, line.at, line.slope]);
      if (!(scale.value > 0)) return null;
      // x runs away from the camera, y to the left of someone looking that way.
      const [x, y] = derive((u, s, f) => [f! / s!, (cx - u!) / s!], [mark.u, scale, focal]);
      return { x: x!, y: y! };
    },
    cameraIn: () => null,
    unplacedWhy: () => null,
    offIceWhy: null,
    noCamera:
      "Known lengths don't show where the camera stands, so points off the ice can't be placed. Give ice points instead: four or more, six are better.",
    hull: [],
    acrossWhy: tiltOf(lengths) > MOST_TILT_DEG ? TILTED : null,
    betweenFramesWhy: twoFrames ? null : ONE_LENGTH,
    alongWhy: "Known lengths across the lane don't tell distances along it. Give ice points instead.",
    mostHeadingDeg: MOST_HEADING_DEG,
  };
}

const ONE_LENGTH =
  "One known length is true only at its own distance from the camera, and this quantity needs places at several distances. Give a second length at another distance, or ice points.";
const TILTED =
  "The known length is tilted in the picture, so it does not lie square to the view, and widths read from it would be wrong. Film along the lane with the length straight across, or give ice points.";

function tiltOf(lengths: readonly KnownLength[]): number {
  return Math.max(
    ...lengths.map((l) => (180 / Math.PI) * Math.atan2(Math.abs(l.y2Px - l.y1Px), Math.abs(l.x2Px - l.x1Px))),
  );
}

function checkGrowth(rows: readonly RowScale[]): void {
  const { slope } = scaleLine(rows);
  if (slope.value > 0) return;
  throw new MeasureError(
    "known-lengths-disagree",
    `lengthScale requires a scale that grows down the picture; the slope is ${slope.value} px/m per row`,
    "The known lengths disagree: the one lower in the picture is nearer and must look larger for its length. Check the lengths and their ends.",
    { slope: slope.value },
  );
}

/** Marked minus predicted picture length of each known length, px. */
function misfitsPx(rows: readonly RowScale[], lengths: readonly KnownLength[]): number[] {
  const { at, slope, about } = scaleLine(rows);
  return rows.map(
    (r, k) => (r.scale.value - at.value - slope.value * (r.row.value - about)) * lengths[k]!.length,
  );
}

/** A length has two marked ends, so by marking alone it is off by √2 marking SD. */
function judgeMisfits(misfits: readonly number[] | null, markSdPx: number): Warning[] {
  if (!misfits) return [];
  const freedom = misfits.length - 2;
  const misfit = Math.sqrt(misfits.reduce((sum, px) => sum + px * px, 0) / freedom) / (Math.SQRT2 * markSdPx);
  const worst = misfits.reduce((most, px, k) => (Math.abs(px) > Math.abs(misfits[most]!) ? k : most), 0);
  const text = `The known lengths disagree by ${misfit.toFixed(1)} times what marking alone explains; length ${worst + 1} is the worst (${Math.abs(misfits[worst]!).toFixed(1)} px).`;
  if (misfit > 3) {
    throw new MeasureError(
      "known-lengths-disagree",
      `lengthScale requires lengths that agree within 3 marking SD; misfit is ${misfit.toFixed(1)} SD`,
      `${text} Check the lengths and their ends.`,
      { misfit, worst },
    );
  }
  return misfit > 1.4 ? [{ code: "known-lengths-fit-poorly", text }] : [];
}

function oneLength(twoFrames: boolean, count: number): Warning[] {
  if (twoFrames) return [];
  const text =
    count === 1
      ? "One known length gives widths only within one frame and near the length. Give a second one at another distance, or ice points."
      : "The known lengths are all at the same distance from the camera, so they count as one. Give one at another distance, or ice points.";
  return [{ code: "one-known-length", text }];
}

function tilted(lengths: readonly KnownLength[]): Warning[] {
  return tiltOf(lengths) > MOST_TILT_DEG ? [{ code: "known-length-tilted", text: TILTED }] : [];
}
