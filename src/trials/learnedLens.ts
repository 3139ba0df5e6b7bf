import { MeasureError } from "../errors.ts";
import { besideOwn, type LearnedLens, lensLearned } from "../ice/camera/learnedLens.ts";
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

/** The lens that is best known of what other clips of a camera have shown; null where none has shown it. */
export function bestLearned(
  others: readonly { readonly reference: ScaleReference; readonly name: string }[],
  picture: Picture,
  markSdPx: number,
): LearnedLens | null {
  let best: LearnedLens | null = null;
  for (const { reference, name } of others) {
    const its = learnedOn(reference, picture, markSdPx, name);
    if (its && (!best || its.sdK1 < best.sdK1)) best = its;
  }
  return best;
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
  readonly setup: CameraSetup;
  readonly picture: Picture;
  readonly markSdPx: number;
}

const through = new WeakMap<ScaleReference, { readonly lens: LearnedLens; readonly made: ScaleReference }>();
const setups = new WeakMap<SetupClips, { readonly lens: LearnedLens; readonly made: SetupClips }>();

/**
 * The same reference with a learned lens beside it, for where its own points don't show one, or less well; the same object as long as
 * nothing has changed.
 */
export function throughLearned(here: Here, lens: LearnedLens): ScaleReference {
  const last = through.get(here.reference);
  if (last?.lens === lens) return last.made;
  const made = madeThrough(here, lens);
  through.set(here.reference, { lens, made });
  return made;
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
      const last = setups.get(reference.setup);
      const clips = last?.lens === learned ? last.made : { ...reference.setup, learned };
      setups.set(reference.setup, { lens: learned, made: clips });
      return { ...reference, setup: clips };
    }
    case "ice-points": {
      // Its own points are judged first, by all that is known of one clip's points.
      const own = fitted(reference, picture, markSdPx);
      if (!own?.lens || reference.copiedFrom !== undefined) return reference;
      if ("from" in own.lens) {
        const { k1, k2, u95K1 } = own.lens;
        if (k2 !== 0 || u95K1 === null || !besideOwn(learned, k1, u95K1 / K95)) return reference;
      }
      const { points, rechecks } = reference;
      const clip = { trial, points, ...(rechecks && { rechecks }) };
      return { kind: "set-up", trial, setup: { id: setup.id, name: setup.name, learned, clips: [clip] } };
    }
  }
}
