import { MeasureError } from "../errors.ts";
import { atFocal, besideOwn, type LearnedLens, lensLearned, zoomOf } from "../ice/camera/learnedLens.ts";
import { fitScale, type ScaleReference } from "../ice/fitScale.ts";
import type { SetupClips } from "../ice/setup/setupClips.ts";
import type { ScaleSummary } from "../ice/types.ts";
import type { CameraSetup, Picture } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";

/** Whether the lens is open: nobody gave it, and the kind of reference makes use of one. */
export function maySeeLearned(reference: ScaleReference): boolean {
  if (reference.kind === "known-lengths") return false;
  if (reference.kind === "set-up") return !reference.setup.lens;
  return !(reference.kind === "followed" ? reference.reference : reference).lens;
}

/** What other clips of a camera have shown of their lens, where they have. */
export function learnedLenses(
  others: readonly { readonly reference: ScaleReference; readonly name: string }[],
  picture: Picture,
  markSdPx: number,
): LearnedLens[] {
  return others.flatMap(({ reference, name }) => learnedOn(reference, picture, markSdPx, name) ?? []);
}

/** The lens whose bend is best known, in pixels; null where there is none. */
export function surest(lenses: readonly LearnedLens[]): LearnedLens | null {
  const doubt = ({ sdK1, focalPx }: LearnedLens) => sdK1 / focalPx ** 2;
  return lenses.reduce<LearnedLens | null>((a, b) => (a && doubt(a) <= doubt(b) ? a : b), null);
}

const learnt = new WeakMap<
  ScaleReference | SetupClips,
  { readonly key: string; readonly lens: LearnedLens | null }
>();

/** Once for a reference, and for all clips of a set-up. */
function learnedOn(
  reference: ScaleReference,
  picture: Picture,
  markSdPx: number,
  name: string,
): LearnedLens | null {
  const of = reference.kind === "set-up" ? reference.setup : reference;
  const key = `${picture.width} ${picture.height} ${markSdPx} ${name}`;
  const last = learnt.get(of);
  if (last?.key === key) return last.lens;
  const summary = maySeeLearned(reference) ? fitted(reference, picture, markSdPx) : null;
  const lens = summary && lensLearned(summary, name);
  learnt.set(of, { key, lens });
  return lens;
}

/** Null where the ice points are refused, or disagree: then they tell no lens either. */
function fitted(reference: ScaleReference, picture: Picture, markSdPx: number): ScaleSummary | null {
  try {
    const { summary, unprovenWhy } = fitScale(reference, picture, markSdPx);
    const isPoor = summary.warnings.some((w) => w.code === "ice-points-fit-poorly");
    return unprovenWhy !== undefined || isPoor ? null : summary;
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** What a scale is fitted to. */
interface Here {
  readonly reference: ScaleReference;
  readonly trial: string;
  /** null = it is in none. */
  readonly setup: CameraSetup | null;
  readonly picture: Picture;
  readonly markSdPx: number;
}

/** By a lens: what has been seen through it. */
const through = new WeakMap<LearnedLens, WeakMap<ScaleReference, ScaleReference>>();
const setups = new WeakMap<LearnedLens, WeakMap<SetupClips, SetupClips>>();

/** Made once for both. */
function kept<Of extends object>(
  by: WeakMap<LearnedLens, WeakMap<Of, Of>>,
  lens: LearnedLens,
  of: Of,
  make: () => Of,
): Of {
  const made = by.get(lens) ?? new WeakMap<Of, Of>();
  by.set(lens, made);
  const known = made.get(of) ?? make();
  made.set(of, known);
  return known;
}

/**
 * The same reference with a learned lens beside it, for where its own points don't show one, or less well; the same object as long as
 * nothing has changed.
 */
export function throughLearned(here: Here, lens: LearnedLens): ScaleReference {
  return kept(through, lens, here.reference, () => madeThrough(here, lens));
}

function madeThrough(
  { reference, trial, setup, picture, markSdPx }: Here,
  learned: LearnedLens,
): ScaleReference {
  switch (reference.kind) {
    case "known-lengths":
      return reference;
    case "ice-points-by-frame":
      return { kind: "followed", reference, motion: null, learned };
    case "followed":
      return { ...reference, learned };
    case "set-up": {
      const clips = kept(setups, learned, reference.setup, () => ({ ...reference.setup, learned }));
      return { ...reference, setup: clips };
    }
    case "ice-points": {
      if (reference.copiedFrom !== undefined || !mayHelp(reference, picture, markSdPx, learned))
        return reference;
      const { points, rechecks } = reference;
      const clip = { trial, points, ...(rechecks && { rechecks }) };
      const { id, name } = setup ?? { id: trial, name: trial };
      const clips = { id, name, learned, clips: [clip], ...(!setup && { isAlone: true as const }) };
      return { kind: "set-up", trial, setup: clips };
    }
  }
}

/** Whether a clip's own points don't show their lens, or less well. They are judged first, by all that is known of one clip's points. */
function mayHelp(
  reference: ScaleReference,
  picture: Picture,
  markSdPx: number,
  learned: LearnedLens,
): boolean {
  const own = fitted(reference, picture, markSdPx);
  // What lines show of this very lens may be why its points disagree without it.
  if (!own) return learned.byLines !== undefined && disagree(reference, picture, markSdPx);
  const its = own.camera && atFocal(learned, ...zoomOf(own.camera));
  if (!own.lens || !its) return false;
  if (!("from" in own.lens)) return true;
  const { k1, k2, u95K1 } = own.lens;
  return k2 === 0 && u95K1 !== null && besideOwn(its, k1, u95K1 / K95) !== null;
}

/** Whether all that is wrong with ice points is that they fit badly. */
function disagree(reference: ScaleReference, picture: Picture, markSdPx: number): boolean {
  try {
    return fitScale(reference, picture, markSdPx).unprovenWhy === undefined;
  } catch (error) {
    if (error instanceof MeasureError) return error.code === "ice-points-disagree";
    throw error;
  }
}
