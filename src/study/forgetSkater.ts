import { partsOfNames } from "./labels.ts";
import { clipsOf, markedIds } from "./trialViews.ts";
import type { ClipLink, Skater, Study, Trial } from "./types.ts";

/** A study without one of its skaters, and what that takes out of it. */
export interface Forgotten {
  readonly study: Study;
  readonly skater: Skater;
  readonly trials: readonly Trial[];
  /** Ids of what had marks. */
  readonly marked: readonly string[];
  /** Links that only these trials had. */
  readonly clips: readonly ClipLink[];
  /** Names of camera set-ups that lose ice points of theirs, by which other clips may have their scale. */
  readonly setups: readonly string[];
  /** The locked plan named them, so the lock goes: what it says would not be what was locked. */
  readonly unlocked: boolean;
  /** Where the name still stands in what was typed. */
  readonly mentions: readonly string[];
}

/**
 * Takes a skater out with everything of theirs: trials, marks, clips, lengths of the body.
 *
 * @param who a code, or the name of one without a code
 * @returns null where nobody is called so
 */
export function forgetSkater(study: Study, who: string): Forgotten | null {
  const skater = study.skaters.find((s) => (s.code || s.name) === who);
  if (!skater) return null;
  const trials = study.trials.filter((t) => t.skater === skater.id);
  const others = study.trials.filter((t) => t.skater !== skater.id);
  const marked = markedIds({ trials });
  const used = new Set(others.flatMap(clipsOf));
  const own = new Set(trials.flatMap(clipsOf).filter((id) => !used.has(id)));
  const gone = new Set(marked);
  const { setups, plan, ...rest } = study;
  const unlocked = plan?.locked !== undefined;
  const { locked: _, ...unlockedPlan } = plan ?? {};
  const left: Study = {
    ...rest,
    skaters: study.skaters.filter((s) => s.id !== skater.id),
    trials: others,
    clips: study.clips.filter((c) => !own.has(c.id)),
    ...(plan && Object.keys(unlockedPlan).length > 0 ? { plan: unlockedPlan } : {}),
    ...(setups && {
      setups: setups.map((s) => ({
        ...s,
        trials: s.trials.filter((t) => !gone.has(t.trial) && !(t.like && gone.has(t.like.trial))),
      })),
    }),
  };
  const clips = study.clips.filter((c) => own.has(c.id));
  const shared = (setups ?? []).filter(
    ({ trials: all }) => all.some((t) => gone.has(t.trial)) && all.some((t) => !gone.has(t.trial)),
  );
  return {
    ...{ study: left, skater, trials, marked, clips, unlocked },
    ...{ setups: shared.map((s) => s.name), mentions: mentions(left, skater) },
  };
}

function mentions(study: Study, skater: Skater): string[] {
  const named = partsOfNames(skater.name);
  if (!named) return [];
  const { conditions = {}, plan = {} } = study;
  const typed: readonly (readonly [string, unknown])[] = [
    ["the question", study.question],
    ["what techniques are called", study.techniques.map((t) => t.name)],
    ["conditions of the evening", conditions],
    ["the plan", plan],
    ["notes of other trials", study.trials],
    ["names of other clips", study.clips],
    ["camera set-ups", study.setups ?? []],
  ];
  return typed
    .filter(([, what]) => named.test(JSON.stringify(what).normalize("NFC")))
    .map(([where]) => where);
}
