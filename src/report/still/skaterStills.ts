import type { TrialReadings } from "../../kinematics/types.ts";
import { isOfArm } from "../../quantities/catalogue.ts";
import { SIDES } from "../../study/names.ts";
import type { Side, WholeStudy } from "../../study/types.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import { planArmStills, usualSwing, usualSwings } from "./planArmStills.ts";
import { planStrideStills, type StillPlan, type StridePlans } from "./planStill.ts";
import { usualStrides } from "./usualStrides.ts";

/** What a skater's page shows of one trial of each technique, beside each other. */
export interface SkaterStills {
  readonly of: "blades" | "arms";
  /**
   * "left and right": the same event of both blades or arms. "two events": of one blade at blade-off and where it is nearest
   * the midline, of one arm its front and its back extreme. "one event": of one blade at blade-off, or of one arm.
   */
  readonly shows: "left and right" | "two events" | "one event";
  /** Where the recovering blade is nearest the midline, not at blade-off. */
  readonly recovery: boolean;
  readonly a: readonly StillPlan[];
  readonly b: readonly StillPlan[];
}

interface MeasuredTrial {
  readonly id: string;
  readonly readings: TrialReadings;
}

type Plan = (trials: readonly [MeasuredTrial, MeasuredTrial], side?: Side) => readonly StridePlans[] | null;

/**
 * A skater's stills, technique a and b, each of a stride that is as its own trial's usually are: of arms where those are what
 * was asked, else of blades; left and right wherever both trials have both. Null where there are none.
 */
export function skaterStills(
  whole: WholeStudy,
  skater: string,
  { a, b, check }: Pick<StudyAnswer, "a" | "b" | "check">,
  readingOf: ReadingOf,
): SkaterStills | null {
  const trials = (technique: string) =>
    whole.study.trials
      .filter((t) => t.skater === skater && t.technique === technique && t.valid)
      .sort((x, y) => x.order - y.order)
      .flatMap((t): MeasuredTrial[] => {
        const reading = readingOf(t.id);
        return reading.ok && reading.value.scale ? [{ id: t.id, readings: reading.value }] : [];
      });
  const seconds = trials(b.id);
  const pairs = trials(a.id).flatMap((x) => seconds.map((y) => [x, y] as const));
  const recovery = check.quantity === "recovery_to_midline_m";
  const arms = isOfArm(check.quantity) ? first(pairs, armPlans(whole), false) : null;
  if (arms) return { of: "arms", recovery: false, ...arms };
  const blades = first(pairs, bladePlans(whole), recovery);
  return blades && { of: "blades", recovery: recovery && blades.shows === "left and right", ...blades };
}

function armPlans(whole: WholeStudy): Plan {
  return (trials, side) => {
    const swings = side ? trials.map((t) => usualSwing(whole, t, side)) : usualSwings(whole, ...trials);
    return all(
      trials.map(({ id, readings }, k) => {
        const swing = swings?.[k];
        return swing ? planArmStills(whole, id, readings, swing) : null;
      }),
    );
  };
}

function bladePlans(whole: WholeStudy): Plan {
  return (trials, side) => {
    const strides = usualStrides(trials[0].readings, trials[1].readings, side);
    return all(
      trials.map(({ id, readings }, k) => strides && planStrideStills(whole, id, readings, strides[k]!)),
    );
  };
}

function all<T>(of: readonly (T | null)[]): readonly T[] | null {
  return of.some((x) => x === null) ? null : (of as readonly T[]);
}

/** The first pair of trials that has both sides, else the first that has one. */
function first(
  pairs: readonly (readonly [MeasuredTrial, MeasuredTrial])[],
  plan: Plan,
  recovery: boolean,
): Pick<SkaterStills, "shows" | "a" | "b"> | null {
  for (const pair of pairs) {
    const both = all(SIDES.map((side) => plan(pair, side)));
    if (!both) continue;
    const shown = both.map((of) => of.map((p) => (recovery ? p.nearest : p.off)));
    const [left, right] = shown.map(all);
    if (left && right) return { shows: "left and right", a: [left[0]!, right[0]!], b: [left[1]!, right[1]!] };
  }
  for (const pair of pairs) {
    const one = plan(pair);
    if (!one) continue;
    const two = one.every((p) => p.nearest);
    const [a, b] = one.map((p) => (two ? [p.off, p.nearest!] : [p.off]));
    return { shows: two ? "two events" : "one event", a: a!, b: b! };
  }
  return null;
}
