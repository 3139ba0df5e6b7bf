import { tQuantile } from "../../statistics/distributions.ts";
import type { Picture, StraightLine } from "../../study/types.ts";
import { centreOf } from "../camera/fitCamera.ts";
import { reach } from "../camera/lens.ts";
import { poorMisfit, refusedMisfit } from "../points/poorFit.ts";
import { bendOf, type FittedLines, fitLines, sizeOf } from "./fitLines.ts";

/** What straight lines of a picture tell of the lens it was seen through. */
export interface LensByLines {
  /** Radial coefficients for coordinates in lengths of `focalPx`; of another focal length f they are k1 (f / focalPx)², k2 (f / focalPx)⁴. */
  readonly k1: number;
  readonly k2: number;
  readonly sdK1: number;
  /** Half the picture's diagonal. */
  readonly focalPx: number;
  readonly lines: number;
}

/** For each line, px: how far it is bent in the picture, and how far its points lie from a straight one once the lens is taken out (RMS). */
export interface LineFit {
  readonly bentPx: number;
  readonly offPx: number | null;
}

export interface LinesTold {
  /** Why they don't tell it: `why`, for the coach. */
  readonly lens: LensByLines | { readonly value: null; readonly why: string };
  readonly fits: readonly LineFit[];
}

/** Points a line must have: two are on any. */
const LEAST_POINTS = 3;
/** Known no better than so, at half a diagonal from the middle (a share of that), the lines tell nothing; ordinary lenses lie within 0.35. [judgement] */
const MOST_SD = 0.15;
/** No ordinary lens bends by more. [judgement] */
const EXTREME = 0.6;
/** As in `chooseLens`: one coefficient more must take so much off the misfit, in variances. */
const LEAST_GAIN = 6.635;

/**
 * The radial bend of a lens by lines that are straight in life: the coefficients through which their points, straightened, lie on
 * lines best, by least squares, the principal point about the picture's middle. k2 as well where that does clearly better.
 *
 * @param markSdPx standard uncertainty of a point per coordinate, px
 * @see Brown (1971), Photogrammetric Engineering 37(8), 855-866: "plumb line" calibration; Hartley and Zisserman, 7.4
 */
export function lensByLines(lines: readonly StraightLine[], picture: Picture, markSdPx: number): LinesTold {
  const whole = lines.filter(({ points }) => points.length >= LEAST_POINTS);
  const bends = new Map(lines.map((line) => [line, bendOf(line.points)]));
  const none = (why: string): LinesTold => ({
    lens: { value: null, why },
    fits: lines.map((line) => ({ bentPx: bends.get(line)!, offPx: null })),
  });
  if (whole.length === 0)
    return none("A line needs three points or more, from end to end; five or more tell better.");
  const found = chosen(whole, picture, markSdPx);
  if (!found) return none(CANNOT_TELL);
  const fits = lines.map((line): LineFit => {
    const at = whole.indexOf(line);
    return { bentPx: bends.get(line)!, offPx: at < 0 ? null : found.offPx[at]! };
  });
  const { misfit, freedom, k1, k2, sdK1 } = found;
  if (misfit > refusedMisfit(freedom)) {
    const worst = lines.indexOf(whole[found.offPx.indexOf(Math.max(...found.offPx))]!);
    return {
      fits,
      lens: {
        value: null,
        why: `No lens makes these lines straight: line ${worst + 1} is the worst (${found.offPx[whole.indexOf(lines[worst]!)]!.toFixed(1)} px off). Boards are round in the corners; take what is straight in life, and press along one edge of it.`,
      },
    };
  }
  const sd = sdK1 * (misfit > poorMisfit(freedom) ? misfit : 1);
  if (sd > MOST_SD || Math.abs(k1) > EXTREME) return { ...none(CANNOT_TELL), fits };
  return { fits, lens: { k1, k2, sdK1: sd, focalPx: sizeOf(picture), lines: whole.length } };
}

const CANNOT_TELL =
  "These lines can't tell how the lens bends: it shows on long ones, from edge to edge of the picture and far from its middle.";

/** Through k1, or k1 and k2 where that pays; null where the lines don't tell it. */
function chosen(lines: readonly StraightLine[], picture: Picture, markSdPx: number): FittedLines | null {
  const centre = centreOf(picture);
  const one = fitLines(lines, picture, centre, markSdPx, 1);
  if (!one || !isOneToOne(one, lines, picture)) return null;
  const two = one.freedom > 1 ? fitLines(lines, picture, centre, markSdPx, 2) : null;
  return two && isOneToOne(two, lines, picture) && pays(one, two) ? two : one;
}

function pays(one: FittedLines, two: FittedLines): boolean {
  const gain = one.chiSquare - two.chiSquare;
  const own = two.chiSquare / Math.max(1, two.freedom);
  if (gain / Math.max(1, own) > LEAST_GAIN) return true;
  // Marks may be far better than stated, and then show what the stated SD hides.
  return gain > 1 && two.freedom > 0 && gain / own > tQuantile(1 - 5e-4, two.freedom) ** 2;
}

function isOneToOne({ k1, k2 }: FittedLines, lines: readonly StraightLine[], picture: Picture): boolean {
  const { cx, cy } = centreOf(picture);
  const far = Math.max(
    ...lines.flatMap(({ points }) => points.map((p) => Math.hypot(p.xPx - cx, p.yPx - cy))),
  );
  return reach({ k1, k2 }) > far / sizeOf(picture);
}
