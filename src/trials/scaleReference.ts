import type { ScaleReference } from "../ice/fitScale.ts";
import type { SetupClip, SetupClips } from "../ice/setup/setupClips.ts";
import type { CameraSetup, IceReference, WholeStudy } from "../study/types.ts";

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
  const own = whole.marks[trial]?.iceReference ?? null;
  const setup = setupOf(whole, trial);
  if (!setup || (own && own.kind !== "ice-points")) return own;
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
  if (members.length < 2) return own;
  return ofClip(clipsOf(setup, members, references), trial);
}

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
  references: readonly (IceReference | null)[],
): Known {
  const parts = [...members, ...references];
  const last = known.get(setup);
  if (last && last.parts.length === parts.length && last.parts.every((part, k) => part === parts[k]))
    return last;
  const clips = members.map(({ trial, like }, k): SetupClip => {
    const its = references[k];
    const points = its?.kind === "ice-points" && its.copiedFrom === undefined ? its : null;
    return {
      trial,
      points: points?.points ?? [],
      ...(points?.rechecks && { rechecks: points.rechecks }),
      // Two points of its own tell better than anybody's word or look.
      ...(like && (like.by === "background" || (points?.points.length ?? 0) < 2) && { like }),
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
