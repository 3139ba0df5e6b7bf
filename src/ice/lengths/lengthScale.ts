import { MeasureError } from "../../errors.ts";
import type { Warning } from "../../reading.ts";
import type { KnownLength, Picture } from "../../study/types.ts";
import { derive, deriveOne, Sources, weightedSum } from "../../uncertainty/uncertain.ts";
import type { FittedScale, Ground, UncertainMark } from "../camera/ground.ts";
import { checkKnownLengths } from "./checkKnownLengths.ts";
import {
  type Askance,
  type Growth,
  levelled,
  type RowScale,
  rollOf,
  rowScales,
  scaleLine,
} from "./rowScales.ts";

/**
 * 1 / camera height, for one length alone: how fast the scale grows down the picture. Cameras stand 1.5 to
 * 6 m above the ice, seldom outside 1.2 to 10.
 */
const INVERSE_HEIGHT = { mean: 0.42, u: 0.18 };
/** Focal length in picture widths, for how deep the picture is: 65° across, from about 45° to 105°. Bears on widths only through the cosine of the heading, and of a length's. */
const FOCAL_WIDTHS = { mean: 0.785, u: 0.4 };
/** The camera must look along the travel to within this angle: lengths tell nothing of what lies in depth. */
const MOST_HEADING_DEG = 20;
const MOST_TILT_DEG = 12;
/** So far askew on the ice a length may lie: beyond it the guess of the focal length rules. */
const MOST_ASKEW_DEG = 25;
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
  picture: Picture,
  markSdPx: number,
): FittedScale {
  checkKnownLengths(lengths, picture);
  const middles = lengths.map((l) => (l.y1Px + l.y2Px) / 2);
  const twoFrames = Math.max(...middles) - Math.min(...middles) > LEAST_ROWS_SD * markSdPx;
  const { rows } = growing(lengths, picture, markSdPx, twoFrames, new Sources());
  // Lengths that lie askew to the view disagree for that reason, which is said instead.
  const straight = tiltOf(lengths) <= MOST_TILT_DEG && rows.every((r) => r.askewDeg <= MOST_ASKEW_DEG);
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
        ...(straight
          ? fewLengths(twoFrames, lengths.length)
          : [{ code: "known-length-tilted" as const, text: TILTED }]),
        ...judgeMisfits(misfits, rows, lengths),
      ],
    },
    residuals: [],
    hull: [],
    toIce: () => null,
    toPicture: () => null,
    ground: (sources) =>
      groundOf(growing(lengths, picture, markSdPx, twoFrames, sources), twoFrames, straight),
  };
}

/** The lengths' rows, and how the scale grows down the picture. */
function growing(
  lengths: readonly KnownLength[],
  picture: Picture,
  markSdPx: number,
  twoFrames: boolean,
  sources: Sources,
) {
  const camera: Askance = {
    focal: sources.add(FOCAL_WIDTHS.mean * picture.width, FOCAL_WIDTHS.u * picture.width),
    roll: rollOf(sources),
    cx: (picture.width - 1) / 2,
    cy: (picture.height - 1) / 2,
  };
  const guess = twoFrames ? null : sources.add(INVERSE_HEIGHT.mean, INVERSE_HEIGHT.u);
  const growthOf = (rows: readonly RowScale[]): Growth =>
    guess === null
      ? scaleLine(rows)
      : {
          at: weightedSum(rows.map((r) => [1 / rows.length, r.scale])),
          slope: guess,
          about: rows.reduce((sum, r) => sum + r.row.value, 0) / rows.length,
        };
  const rows = rowScales(lengths, markSdPx, camera, sources, growthOf);
  return { rows, camera, line: growthOf(rows) };
}

function groundOf(
  { line, camera }: ReturnType<typeof growing>,
  twoFrames: boolean,
  straight: boolean,
): Ground {
  return {
    place: (mark: UncertainMark) => {
      const seen = [mark.u, mark.v, camera.roll] as const;
      const scale = deriveOne(
        (u, v, roll, at, slope) => at! + slope! * (levelled(u!, v!, roll!, camera).v - line.about),
        [...seen, line.at, line.slope],
      );
      if (!(scale.value > 0)) return null;
      // x runs away from the camera, y to the left of someone looking that way.
      const [x, y] = derive(
        (u, v, roll, s, f) => [f! / s!, -levelled(u!, v!, roll!, camera).u / s!],
        [...seen, scale, camera.focal],
      );
      return { x: x!, y: y! };
    },
    cameraIn: () => null,
    // Under the camera the scale grows by one px per metre in as many rows as it is high; x and y are counted from there.
    eyeIn: () => (line.slope.value > 0 ? { x: 0, y: 0, z: 1 / line.slope.value } : null),
    unplacedWhy: () => null,
    beyondLensWhy: () => null,
    offIceWhy: null,
    noCamera:
      "Known lengths don't show where the camera stands, so points off the ice can't be placed. Give ice points instead: four or more, six are better.",
    hull: [],
    acrossWhy: straight ? null : TILTED,
    betweenFramesWhy: twoFrames ? null : ONE_LENGTH,
    alongWhy: "Known lengths across the lane don't tell distances along it. Give ice points instead.",
    mostHeadingDeg: MOST_HEADING_DEG,
  };
}

const ONE_LENGTH =
  "One known length is true only at its own distance from the camera, and this quantity needs places at several distances. Give a second length at another distance, or ice points.";
const TILTED =
  "A known length is tilted in the picture, so it does not lie square to the view, and widths read from it would be wrong. Film along the lane with the length straight across, or give ice points.";

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

/** Each in what its own marks, tape and lie leave open. */
function judgeMisfits(
  misfits: readonly number[] | null,
  rows: readonly RowScale[],
  lengths: readonly KnownLength[],
): Warning[] {
  if (!misfits) return [];
  const freedom = misfits.length - 2;
  const square = misfits.reduce((sum, px, k) => sum + (px / (rows[k]!.scale.u * lengths[k]!.length)) ** 2, 0);
  const misfit = Math.sqrt(square / freedom);
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

/** Two lengths make a line of scales whatever they are. */
function fewLengths(twoFrames: boolean, count: number): Warning[] {
  if (!twoFrames || count > 2) return [];
  return [
    {
      code: "few-known-lengths",
      text: "Two known lengths cannot show a wrong one. Mark three or more, at different distances.",
    },
  ];
}
