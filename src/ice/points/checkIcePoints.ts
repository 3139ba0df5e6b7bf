import { MeasureError } from "../../errors.ts";
import type { IcePoint, Picture } from "../../study/types.ts";
import type { FlatPoint } from "./hull.ts";

/** Points of the ice nearer to one line than this share of the line's length count as lying on it. */
const THIN = 0.005;
/** From the middle, in picture sizes: half a picture beyond the edge. */
const FAR = 1;

/**
 * Refuses ice points that cannot give a scale, naming the ones at fault.
 *
 * @throws {MeasureError} `ice-point-not-a-number`, `too-few-ice-points`, `ice-point-outside-picture`,
 *   `ice-points-identical`, `ice-points-on-a-line`
 */
export function checkIcePoints(points: readonly IcePoint[], picture: Picture, markSdPx: number): void {
  checkPointNumbers(points);
  if (points.length < 4) {
    throw new MeasureError(
      "too-few-ice-points",
      `fitScale requires at least 4 ice points; got ${points.length}`,
      `The scale needs at least four ice points, and there ${points.length === 1 ? "is" : "are"} ${points.length}. Mark more: six or more are best.`,
      { count: points.length },
    );
  }
  checkInPicture(points, picture);
  checkDistinct(points);
  checkSpread(points, markSdPx);
}

/** Uncertainties beyond any picture and any rink tell nothing, and no scale can be worked out from much larger ones. */
const MOST_UNSURE = { px: 1e5, m: 1e3 };

/** @throws {MeasureError} `ice-point-not-a-number` */
export function checkPointNumbers(points: readonly IcePoint[]): void {
  for (const p of points) {
    const { uPx = 1, u = 0 } = p;
    const numbers = [p.xPx, p.yPx, p.x, p.y, uPx, u];
    const isSure = uPx > 0 && uPx <= MOST_UNSURE.px && u >= 0 && u <= MOST_UNSURE.m;
    if (!numbers.every(Number.isFinite) || !isSure) {
      throw new MeasureError(
        "ice-point-not-a-number",
        `fitScale requires finite coordinates and positive uncertainties of at most ${MOST_UNSURE.px} px and ${MOST_UNSURE.m} m; ice point ${p.label} has ${numbers.join(", ")}`,
        `Ice point ${p.label} has a coordinate or an uncertainty that is not a usable number. Type it again.`,
        { label: p.label },
      );
    }
  }
}

export function isOutside(p: IcePoint, picture: Picture): boolean {
  return p.xPx < -0.5 || p.yPx < -0.5 || p.xPx > picture.width - 0.5 || p.yPx > picture.height - 0.5;
}

/**
 * A point a little outside can be meant (painted lines extended beyond the edge) and is used; far outside, or
 * with most of the points, the picture's size is wrong, and with it the middle of the lens.
 *
 * @throws {MeasureError} `ice-point-outside-picture`
 */
export function checkInPicture(points: readonly IcePoint[], picture: Picture): void {
  const outside = points.filter((p) => isOutside(p, picture));
  const far = outside.find(
    ({ xPx, yPx }) =>
      Math.abs(xPx - picture.width / 2) > FAR * picture.width ||
      Math.abs(yPx - picture.height / 2) > FAR * picture.height,
  );
  const p = far ?? (outside.length > points.length / 2 ? outside[0] : undefined);
  if (!p) return;
  throw new MeasureError(
    "ice-point-outside-picture",
    `fitScale requires ice points in or near the picture (${picture.width} x ${picture.height}); ${p.label} is at ${p.xPx}, ${p.yPx}`,
    `Ice point ${p.label} lies ${far ? "far " : ""}outside the picture, which is ${picture.width} by ${picture.height} px. Check the picture's size, and put the point where it can be seen.`,
    { label: p.label },
  );
}

/** @throws {MeasureError} `ice-points-identical` */
export function checkDistinct(points: readonly IcePoint[]): void {
  points.forEach((a, k) => {
    for (const b of points.slice(k + 1)) {
      const samePlace = Math.hypot(a.x - b.x, a.y - b.y) < 1e-3;
      const sameMark = Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx) < 0.5;
      if (!samePlace && !sameMark) continue;
      const where =
        samePlace && sameMark
          ? "at the same place"
          : samePlace
            ? "at the same place on the ice"
            : "on the same spot of the picture";
      throw new MeasureError(
        "ice-points-identical",
        `fitScale requires distinct ice points; ${a.label} and ${b.label} coincide`,
        `Ice points ${a.label} and ${b.label} are ${where}. Remove one, or put it where it belongs.`,
        { labels: [a.label, b.label] },
      );
    }
  });
}

/** A homography needs four points of which no three are on one line: a line may hold at most n - 2 of them. */
function checkSpread(points: readonly IcePoint[], markSdPx: number): void {
  const line = lineOf(points, markSdPx);
  if (!line) return;
  const labels = line.map((k) => points[k]!.label);
  const names = `${labels.slice(0, -1).join(", ")} and ${labels[labels.length - 1]}`;
  throw new MeasureError(
    "ice-points-on-a-line",
    `fitScale requires four ice points with no three on one line; ${names} are (nearly) collinear`,
    `${names} lie on one line, so the points can't give a scale. Add points well away from that line.`,
    { labels },
  );
}

/** Whether four or more points can give a homography. */
export function isSpread(points: readonly IcePoint[], markSdPx: number): boolean {
  return lineOf(points, markSdPx) === null;
}

function lineOf(points: readonly IcePoint[], markSdPx: number): number[] | null {
  const onIce = points.map((p) => ({ x: p.x, y: p.y }));
  const inPicture = points.map((p) => ({ x: p.xPx, y: p.yPx }));
  // In the picture only the marks' noise makes a line of a band; what a thin band is worth, the covariance says.
  return longLine(onIce, THIN, 0) ?? longLine(inPicture, 0, 3 * markSdPx);
}

/** Indices of n - 1 or more points (nearly) on one line; null when there is no such line. */
function longLine(points: readonly FlatPoint[], share: number, least: number): number[] | null {
  for (let a = 0; a < points.length; a++) {
    for (let b = a + 1; b < points.length; b++) {
      const [p, q] = [points[a]!, points[b]!];
      const length = Math.hypot(q.x - p.x, q.y - p.y);
      const most = Math.max(least, share * length);
      const near: number[] = [];
      points.forEach((r, k) => {
        if (Math.abs((q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)) / length <= most) near.push(k);
      });
      if (near.length < points.length - 1) continue;
      // Short pairs make wide bands: the line must be the longest distance within its own group.
      const isLongest = near.every((k) =>
        near.every(
          (m) => Math.hypot(points[k]!.x - points[m]!.x, points[k]!.y - points[m]!.y) <= length + 1e-9,
        ),
      );
      if (isLongest) return near;
    }
  }
  return null;
}
