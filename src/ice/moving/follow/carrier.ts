import type { Matrix } from "ml-matrix";
import type { Warning } from "../../../reading.ts";
import { chiSquareQuantile } from "../../../statistics/distributions.ts";
import type { Camera } from "../../camera/camera.ts";
import { choleskyFactor, solveLower } from "../../numeric/positiveDefinite.ts";
import type { FrameDoubt } from "../../types.ts";
import type { MovingFit } from "../movingCamera.ts";
import type { Background } from "./background.ts";
import { Stretch } from "./stretch.ts";

/** The camera of a frame without ice points enough, and what moves it. Rows: turn x, y, z, and the log focal length where it zooms. */
export interface CarriedCamera {
  readonly camera: Camera;
  /** What it owes to the joint fit's shared deviation. */
  readonly shared: Matrix;
  /** What it owes to deviations of frames with ice points, by their number in the fit. */
  readonly keys: readonly { readonly key: number; readonly by: Matrix }[];
  /** Which stretch it lies on, and its standard uncertainties by each of that stretch's causes, by row. */
  readonly stretch: number;
  readonly modes: readonly (readonly number[])[];
  /** Standard uncertainty of each row from a cause of its own. */
  readonly own: readonly number[];
}

/**
 * px a px panned: what following the background errs by in the long run, beside what each frame's own noise says; measured on
 * painted pans (docs/camera-motion.md).
 */
const DRIFT = 0.0006;
/** Beyond the frames with ice points nothing closes the way, so a picture is carried by so much of its width at most. [judgement] */
const MOST_BEYOND = 0.12;
/** How much worse than stated following may be before nothing is carried: px, and px a px panned. [judgement] */
const MOST_DRIFT_PX = 1.5;
const MOST_DRIFT = 0.01;
/** Gaps that are so wide by chance: with the first the drift is taken to be larger, with the other nothing is carried. */
const WIDE = 0.05;
const UNLIKE = 1e-4;
/** Pans in which a gap is told that is there by chance alone. */
const FALSE_ALARMS = 0.02;
/** Waves that frames have in common, of a wandering that is known at both ends; what is finer is each frame's own. */
const MODES = 3;

interface Judged {
  readonly stretch: Stretch;
  /** Standard uncertainty of where the picture lies at its end, by following alone, px; of its turn at a typical place. */
  readonly drift: FrameDoubt;
  /** How much larger than following says. */
  readonly times: number;
  /** Chi-square of the gap at its end. */
  readonly gapSquare: number;
  /** Why nothing is carried over it; null = it is. */
  readonly whyNot: string | null;
}

/**
 * A moving camera carried by its background from the frames with ice points to all others.
 *
 * Between two such frames the turns of the background are chained, and where they end aside of the second one's ice points, that gap
 * is spread over the way, as surveyors close a traverse. Open is what both ends leave open, and a wandering that is known at both: a
 * Brownian bridge, whose first waves (Karhunen and Loève) are causes that frames of the stretch have in common.
 */
export class Carrier {
  readonly #judged: readonly Judged[];
  readonly #background: Background;
  /** By frame: which stretch, and where in it. */
  readonly #at = new Map<number, { readonly k: number; readonly n: number }>();

  /**
   * @param keys frames with ice points, in the order of the fit
   * @param widen how much larger than stated the errors of the fit have shown to be
   */
  constructor(fit: MovingFit, keys: readonly number[], background: Background, widen: number) {
    this.#background = background;
    const last = keys.length - 1;
    const over = (ends: Stretch["ends"], frames: readonly number[]) =>
      frames.length < 2 ? [] : [new Stretch(fit, background, ends, frames)];
    const isTold = (key: number) => background.isTold(keys[key]!);
    const between = (from: number, to: number) => background.told.filter((f) => f >= from && f <= to);
    const stretches = [
      ...(isTold(0) ? over([0, null], between(0, keys[0]!).reverse()) : []),
      ...keys
        .slice(1)
        .flatMap((to, k) => (isTold(k) && isTold(k + 1) ? over([k, k + 1], between(keys[k]!, to)) : [])),
      ...(isTold(last) ? over([last, null], between(keys[last]!, Number.POSITIVE_INFINITY)) : []),
    ];
    const held = stretches.map((stretch) => judged(stretch, background, widen));
    const worst = Math.max(1, ...held.map(({ times }) => times));
    this.#judged = held.map((h) =>
      h.stretch.ends[1] === null ? { ...h, drift: larger(h.drift, worst) } : h,
    );
    const isKey = new Set(keys);
    stretches.forEach(({ frames }, k) => {
      frames.forEach((frame, n) => {
        if (!isKey.has(frame)) this.#at.set(frame, { k, n });
      });
    });
  }

  /** Frames that are carried. */
  get frames(): readonly number[] {
    return [...this.#at.keys()].filter((frame) => this.whyNot(frame) === null).sort((a, b) => a - b);
  }

  /** How far the background ends aside of the ice points at the end of each stretch between two frames that have some, px. */
  get gapsPx(): readonly number[] {
    return this.#judged.flatMap(({ stretch }) => {
      const { ends, isWhole } = stretch;
      return ends[1] === null || !isWhole ? [] : [offPx(stretch, this.#background)];
    });
  }

  /** Stretches over which the background and the ice points go together worse than following and marking explain. */
  get warnings(): readonly Warning[] {
    return this.#judged.flatMap(({ stretch, times, gapSquare, whyNot }) => {
      const { frames, gap } = stretch;
      const most = chiSquareQuantile(1 - FALSE_ALARMS / this.#judged.length, gap.length);
      if (times <= 1 || gapSquare <= most || whyNot !== null) return [];
      return [
        {
          code: "background-drifts" as const,
          text: `From frame ${frames[0]} to frame ${frames[frames.length - 1]} the background ends ${offPx(stretch, this.#background).toFixed(1)} px aside of the ice points, more than marking explains: as through a lens that bends the picture, or by an ice point that is wrong. What is carried between them has that in its ±; eight ice points on one more frame between them make it smaller.`,
        },
      ];
    });
  }

  /** Why a frame is not carried; null = it is, undefined = its background is not told, or no frame with ice points leads there. */
  whyNot(frame: number): string | null | undefined {
    const at = this.#at.get(frame);
    if (!at) return undefined;
    const knock = this.#background.knockAt(frame);
    if (knock !== null)
      return `The camera was knocked around frame ${knock}, so nothing is placed on frame ${frame} by its background. Mark two or more ice points on it, far apart.`;
    const { whyNot, stretch } = this.#judged[at.k]!;
    if (whyNot !== null) return whyNot;
    const way = stretch.chain.way[at.n];
    if (way === undefined) return undefined;
    return stretch.ends[1] === null && way > MOST_BEYOND * this.#background.picture.width
      ? `On frame ${frame} the picture has gone ${way.toFixed(0)} px beyond the nearest frame with ice points, and on no frame past it are some. Mark four or more ice points on a frame at or past it.`
      : null;
  }

  camera(frame: number): CarriedCamera | null {
    if (this.whyNot(frame) !== null) return null;
    const { k, n } = this.#at.get(frame)!;
    const { stretch, drift } = this.#judged[k]!;
    const camera = stretch.camera(n);
    const { shared, keys } = stretch.slopes(n);
    const share = stretch.share(n);
    const modes = stretch.ends[1] === null ? [1] : waves(share);
    const left = stretch.ends[1] === null ? 0 : share * (1 - share) - square(modes);
    const per = perPx(stretch, n, shared.rows, this.#background);
    const alike = [drift.shiftPx, drift.shiftPx, drift.turnPx, drift.turnPx];
    const { shiftPx, turnPx } = this.#background.doubt(frame);
    const alone = [shiftPx, shiftPx, turnPx, turnPx];
    const far = stretch.ends[1] === null ? stretch.chain.way[n]! / lengthOf(stretch) : 1;
    return {
      ...{ camera, shared, keys, stretch: k },
      modes: modes.map((m) => per.map((unit, r) => Math.sqrt(far) * m * unit * alike[r]!)),
      own: per.map((unit, r) => unit * Math.hypot(alone[r]!, Math.sqrt(Math.max(0, left)) * alike[r]!)),
    };
  }
}

function lengthOf({ chain: { way } }: Stretch): number {
  return way[way.length - 1]!;
}

/** The first waves of a Brownian bridge of variance 1 a whole way, at a share of it. */
function waves(share: number): number[] {
  return Array.from({ length: MODES }, (_, k) => {
    const rate = (k + 1) * Math.PI;
    return (Math.SQRT2 * Math.sin(rate * share)) / rate;
  });
}

function square(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v * v, 0);
}

/** Radians (or log focal length) a pixel: of the picture's middle, and of turn and growth at a typical place. */
function perPx({ chain }: Stretch, n: number, rows: number, { picture }: Background): number[] {
  const focalPx = Math.exp(chain.logFocals[n]!);
  const reach = Math.hypot(picture.width, picture.height) / Math.sqrt(12);
  return [1 / focalPx, 1 / focalPx, 1 / reach, 1 / reach].slice(0, rows);
}

/** How far the background ends aside at the other end of a stretch, px at a typical place. */
function offPx(stretch: Stretch, background: Background): number {
  const { gap, frames } = stretch;
  const per = perPx(stretch, frames.length - 1, gap.length, background);
  return Math.hypot(...gap.map((off, r) => off / per[r]!));
}

/** Holds the end of a stretch against its ice points. */
function judged(stretch: Stretch, background: Background, widen: number): Judged {
  const { frames, chain, ends, gap, isWhole } = stretch;
  const [first, last] = [frames[0]!, frames[frames.length - 1]!];
  const length = lengthOf(stretch);
  const [one, other] = [background.doubt(first), background.doubt(last)];
  const stated = {
    shiftPx: Math.hypot(one.shiftPx, other.shiftPx, DRIFT * length, background.drift * length),
    turnPx: Math.hypot(one.turnPx, other.turnPx, DRIFT * length, background.drift * length),
  };
  if (ends[1] === null) return { stretch, drift: stated, times: 1, gapSquare: 0, whyNot: null };
  if (!isWhole) {
    const lost = chain.rotations.length;
    const whyNot = `From frame ${frames[lost - 1]} to frame ${frames[lost]} the background does not tell how the camera turned, so nothing is carried between frames ${first} and ${last}. Mark two or more ice points on each frame that is measured between them.`;
    return { stretch, drift: stated, times: 1, gapSquare: 0, whyNot };
  }
  const known = stretch.gapCovariance();
  const per = perPx(stretch, frames.length - 1, gap.length, background);
  const chance = (drift: FrameDoubt) => {
    const alike = [drift.shiftPx, drift.shiftPx, drift.turnPx, drift.turnPx];
    const own = (r: number) => (per[r]! * alike[r]!) ** 2;
    return chiSquare(
      known.map((row, r) => row.map((v, c) => widen ** 2 * v + (r === c ? own(r) : 0))),
      gap,
    );
  };
  const most = MOST_DRIFT_PX + MOST_DRIFT * length;
  const atMost = { shiftPx: Math.max(most, stated.shiftPx), turnPx: Math.max(most, stated.turnPx) };
  if (chance(atMost) > chiSquareQuantile(1 - UNLIKE, gap.length)) {
    const whyNot = `From frame ${first} to frame ${last} the background moves otherwise than the ice points do (by ${offPx(stretch, background).toFixed(1)} px at the end), so nothing is carried between them: an ice point there is wrong, the camera was carried or zoomed, or its lens bends the picture. Check these ice points, or mark two or more on each frame that is measured between them.`;
    return { stretch, drift: stated, times: 1, gapSquare: 0, whyNot };
  }
  let times = 1;
  // The most likely size of a drift that the noise does not tell.
  if (chance(stated) > chiSquareQuantile(1 - WIDE, gap.length))
    while (times < 1e3 && chance(larger(stated, times)) > gap.length) times *= 1.1;
  return { stretch, drift: larger(stated, times), times, gapSquare: chance(stated), whyNot: null };
}

function larger({ shiftPx, turnPx }: FrameDoubt, times: number): FrameDoubt {
  return { shiftPx: times * shiftPx, turnPx: times * turnPx };
}

function chiSquare(covariance: readonly (readonly number[])[], off: readonly number[]): number {
  const factor = choleskyFactor(covariance.flat(), off.length);
  if (!factor) return Number.POSITIVE_INFINITY;
  const x = off.slice();
  solveLower(factor, x);
  return square(x);
}
