import type { ScaleReference } from "../ice/fitScale.ts";
import type { SetupClip, SetupClips } from "../ice/setup/setupClips.ts";
import type { SteadyPicture } from "../ice/types.ts";
import { steadiedInSetup, underMotion } from "../motion/steadyReference.ts";
import type { CameraSetup, ClipMotion, IceReference, Lens, TrialMarks, WholeStudy } from "../study/types.ts";
import { learnedLenses, maySeeLearned, surest, throughLearned } from "./learnedLens.ts";
import { linesTold } from "./lensOfLines.ts";

/** The camera set-up a trial's clip was filmed with; null where it is in none. */
export function setupOf({ study }: Pick<WholeStudy, "study">, trial: string): CameraSetup | null {
  return study.setups?.find((setup) => setup.trials.some((t) => t.trial === trial)) ?? null;
}

/**
 * What a trial's scale is fitted to: the clips of its camera set-up together, or its own ice reference where it is in none, alone in
 * one, or its own is of another kind (known lengths, a camera that pans). The same object as long as nothing in it has changed.
 */
export function scaleReference(
  whole: Pick<WholeStudy, "study" | "marks">,
  trial: string,
): ScaleReference | null {
  return trialScale(whole, trial).reference;
}

/** What a trial is measured with: the ice, and how the picture moves where its background has been looked at. */
export interface TrialScale {
  readonly reference: ScaleReference | null;
  readonly steady?: SteadyPicture;
}

/** `scaleReference` with the clip's own motion; its parts are the same objects as long as nothing in them has changed. */
export function trialScale(whole: Pick<WholeStudy, "study" | "marks">, trial: string): TrialScale {
  const plain = plainScale(whole, trial);
  const { reference } = plain;
  const setup = setupOf(whole, trial);
  const picture = whole.marks[trial]?.picture;
  if (!reference || !picture || !maySeeLearned(reference)) return plain;
  const { markSdPx } = whole.study;
  const others = (setup ? ofSameCamera(whole, setup, trial) : []).flatMap(({ trial: id, its: from }) => {
    const its = whole.marks[id]?.picture;
    const sameSize = its && its.width === picture.width && its.height === picture.height;
    const other = sameSize ? plainScale(whole, id).reference : null;
    // The clips of a joint fit tell the lens together, this one among them.
    if (!other || isSameSetup(other, reference)) return [];
    const lines = from !== setup && maySeeLearned(other) ? linesTold(whole, id, from)?.lens : null;
    const here = { reference: other, trial: id, setup: from, picture, markSdPx };
    return [{ name: from.name, reference: lines ? throughLearned(here, lines) : other }];
  });
  const lines = linesTold(whole, trial, setup)?.lens;
  const learned = surest([...(lines ? [lines] : []), ...learnedLenses(others, picture, markSdPx)]);
  return learned
    ? { ...plain, reference: throughLearned({ reference, trial, setup, picture, markSdPx }, learned) }
    : plain;
}

function isSameSetup(one: ScaleReference, other: ScaleReference): boolean {
  return one.kind === "set-up" && other.kind === "set-up" && one.setup === other.setup;
}

/** Trials whose clips were filmed with the camera of a set-up: by its name, and in the set-up itself. */
function ofSameCamera({ study }: Pick<WholeStudy, "study">, setup: CameraSetup, trial: string) {
  const named = (s: CameraSetup) => s.camera?.trim().toLowerCase() || null;
  const its = named(setup);
  return (study.setups ?? [])
    .filter((s) => s === setup || (its !== null && named(s) === its))
    .flatMap((s) => s.trials.map((t) => ({ trial: t.trial, its: s })))
    .filter((t) => t.trial !== trial);
}

/** What a trial is measured with by its own set-up and marks. */
function plainScale(whole: Pick<WholeStudy, "study" | "marks">, trial: string): TrialScale {
  const marks = whole.marks[trial];
  const reference = referenceOf(whole, trial);
  if (!marks) return { reference };
  const its = motionOf(marks);
  if (!its || !marks.picture || reference?.kind === "followed") return { reference };
  const { markSdPx } = whole.study;
  if (reference?.kind === "set-up") return { reference, steady: inSetup(marks, its, markSdPx).steady };
  const { width, height } = marks.picture;
  const key = [reference, markSdPx, width, height];
  const last = alone.get(its);
  if (last && key.every((part, k) => part === last.key[k])) return last.made;
  const made = underMotion(its, reference, marks.picture, markSdPx);
  alone.set(its, { key, made });
  return made;
}

/** What was found on the clip that the marks are put on. */
function motionOf({ motion, picture }: TrialMarks): ClipMotion | null {
  return motion && motion.clip === picture?.clip ? motion : null;
}

/** By a clip's motion: what its ice reference came to in the picture that stands still. */
const alone = new WeakMap<ClipMotion, { readonly key: readonly unknown[]; readonly made: TrialScale }>();

type InSetup = ReturnType<typeof steadiedInSetup>;
const inSetups = new WeakMap<ClipMotion, { readonly key: readonly unknown[]; readonly made: InSetup }>();

function inSetup(marks: TrialMarks, motion: ClipMotion, markSdPx: number): InSetup {
  const points = setupPoints(marks.iceReference);
  const key = [points, markSdPx];
  const last = inSetups.get(motion);
  if (last && key.every((part, k) => part === last.key[k])) return last.made;
  const made = steadiedInSetup(motion, points, marks.picture!, markSdPx);
  inSetups.set(motion, { key, made });
  return made;
}

function setupPoints(reference: IceReference | null) {
  return reference?.kind === "ice-points" && reference.copiedFrom === undefined ? reference : null;
}

function referenceOf(whole: Pick<WholeStudy, "study" | "marks">, trial: string): ScaleReference | null {
  const own = whole.marks[trial]?.iceReference ?? null;
  const setup = setupOf(whole, trial);
  if (!setup) return own;
  if (own && own.kind !== "ice-points") return saidLens(own, setup);
  const picture = whole.marks[trial]?.picture;
  const size = picture && `${picture.width}x${picture.height}`;
  const members = setup.trials.filter(({ trial: id }) => {
    const its = whole.marks[id]?.picture;
    return id === trial || (!!its && !!size && `${its.width}x${its.height}` === size);
  });
  const references = members.map(({ trial: id }) => whole.marks[id]?.iceReference ?? null);
  const marked = references.some((r) => r?.kind === "ice-points" && r.points.length > 0);
  // Lengths are true in any clip of the same view, and there is nothing to fit together.
  if (!marked) return own ?? byWord(setup, trial, whole.marks);
  if (members.length < 2) return saidLens(own, setup);
  const marksOf = members.map(({ trial: id }) => whole.marks[id]);
  return ofClip(clipsOf(setup, members, marksOf, whole.study.markSdPx), trial);
}

/** A clip's own ice points through the lens that is said of its set-up, unless another is said of the clip; the same object each time. */
function saidLens(own: IceReference | null, { lens }: CameraSetup): IceReference | null {
  if (!own || !lens || own.kind === "known-lengths" || own.lens) return own;
  const last = lensed.get(own);
  if (last?.lens === lens) return last.made;
  const made = { ...own, lens };
  lensed.set(own, { lens, made });
  return made;
}

const lensed = new WeakMap<IceReference, { readonly lens: Lens; readonly made: IceReference }>();

/** Known lengths of the clip that this one is said to be like. */
function byWord(setup: CameraSetup, trial: string, marks: WholeStudy["marks"]): IceReference | null {
  const like = setup.trials.find((t) => t.trial === trial)?.like;
  const its = like && marks[like.trial]?.iceReference;
  if (!like || its?.kind !== "known-lengths") return null;
  if (like.by !== "said") return its;
  const made = said.get(its) ?? { ...its, copiedFrom: like.trial };
  said.set(its, made);
  return made;
}

const said = new WeakMap<IceReference, IceReference>();

interface Known {
  readonly parts: readonly unknown[];
  readonly clips: SetupClips;
  readonly byTrial: Map<string, ScaleReference>;
}

/** By a set-up's object: what its clips were made of last. */
const known = new WeakMap<CameraSetup, Known>();

function clipsOf(
  setup: CameraSetup,
  members: CameraSetup["trials"],
  marks: readonly (TrialMarks | undefined)[],
  markSdPx: number,
): Known {
  const references = marks.map((its) => its?.iceReference ?? null);
  const parts = [...members, ...references, ...marks.map((its) => its && motionOf(its)), markSdPx];
  const last = known.get(setup);
  if (last && last.parts.length === parts.length && last.parts.every((part, k) => part === parts[k]))
    return last;
  const clips = members.map(({ trial, like }, k): SetupClip => {
    const its = marks[k];
    const motion = its && motionOf(its);
    const own = setupPoints(references[k]!);
    const { points = [], rechecks } = (motion ? inSetup(its, motion, markSdPx).clip : own) ?? {};
    return {
      trial,
      points,
      ...(rechecks && { rechecks }),
      // Two points of its own tell better than anybody's word or look.
      ...(like && (like.by === "background" || points.length < 2) && { like }),
    };
  });
  const lens = setup.lens ?? references.flatMap((r) => (r && "lens" in r && r.lens ? [r.lens] : []))[0];
  const made: Known = {
    parts,
    clips: { id: setup.id, name: setup.name, ...(lens && { lens }), clips },
    byTrial: new Map(),
  };
  known.set(setup, made);
  return made;
}

function ofClip({ clips, byTrial }: Known, trial: string): ScaleReference {
  const made = byTrial.get(trial) ?? ({ kind: "set-up", setup: clips, trial } as const);
  byTrial.set(trial, made);
  return made;
}
