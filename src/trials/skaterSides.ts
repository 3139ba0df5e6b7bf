import { entryOf, type TrialQuantity } from "../quantities/catalogue.ts";
import type { Measured, OrWhy } from "../reading.ts";
import { mean, standardDeviation } from "../statistics/mean.ts";
import { type Names, skaterLabels, techniqueLabels } from "../study/labels.ts";
import type { Study } from "../study/types.ts";
import { formatReading } from "../uncertainty/format.ts";
import type { ReadingOf } from "./techniqueCheck.ts";

/** Both sides of one skater with one technique, in one quantity. */
export interface SkaterSides {
  readonly skater: string;
  readonly technique: string;
  readonly quantity: TrialQuantity;
  readonly found: OrWhy<{
    readonly value: Sides;
  }>;
}

export interface Sides {
  readonly left: Measured;
  readonly right: Measured;
  readonly leftMinusRight: Measured;
  /** Trials that have both sides. */
  readonly n: number;
  /** SD of left minus right between trials; null of one. */
  readonly sd: number | null;
}

/**
 * Left and right beside each other for every skater and technique that is asked for. Trials count alike; each ± is the mean
 * of the trials' own, for what they have in common (camera, ice points, lengths of the body) does not average out.
 */
export function skaterSides(
  study: Study,
  techniques: readonly string[],
  quantity: TrialQuantity,
  names: Names,
  readingOf: ReadingOf,
): SkaterSides[] {
  const [skaters, called] = [skaterLabels(study, names), techniqueLabels(study)];
  return study.skaters.flatMap(({ id }) =>
    techniques.flatMap((technique): SkaterSides[] => {
      const trials = study.trials.filter((t) => t.valid && t.skater === id && t.technique === technique);
      if (trials.length === 0) return [];
      const found = sidesOf(
        trials.map((t) => t.id),
        quantity,
        readingOf,
      );
      const [skater, name] = [skaters.get(id) ?? id, called.get(technique) ?? technique];
      return [{ skater, technique: name, quantity, found }];
    }),
  );
}

/** Over some trials. */
export function sidesOf(
  trials: readonly string[],
  quantity: TrialQuantity,
  readingOf: ReadingOf,
): SkaterSides["found"] {
  const whys: string[] = [];
  const had = trials.flatMap((id) => {
    const reading = readingOf(id);
    const of = reading.ok ? reading.value.trial[quantity] : { value: null, why: reading.error.coach };
    if ("why" in of) {
      whys.push(of.why);
      return [];
    }
    const { left, right, leftMinusRight } = of;
    if (leftMinusRight.value === null) whys.push(leftMinusRight.why);
    return "why" in left || "why" in right || leftMinusRight.value === null
      ? []
      : [{ left, right, leftMinusRight }];
  });
  if (had.length === 0) return { value: null, why: whys[0] ?? "Nothing is measured." };
  const over = (of: (trial: (typeof had)[number]) => Measured): Measured => ({
    value: mean(had.map((t) => of(t).value)),
    u95: mean(had.map((t) => of(t).u95)),
  });
  const apart = had.map((t) => t.leftMinusRight.value);
  return {
    value: {
      left: over(({ left }) => ({ value: left.mean, u95: left.u95 })),
      right: over(({ right }) => ({ value: right.mean, u95: right.u95 })),
      leftMinusRight: over((t) => t.leftMinusRight),
      n: had.length,
      sd: had.length > 1 ? standardDeviation(apart) : null,
    },
  };
}

/** "the left is larger by 0.049 ± 0.031 m"; no side is named where ± could make it the other. */
export function apartWords({ value, u95 }: Measured, quantity: TrialQuantity): string {
  const { unit, more } = entryOf(quantity);
  const text = formatReading({ value: Math.abs(value), u95 }, unit);
  if (Math.abs(value) <= u95) return `which side is ${more} can’t be told (${text})`;
  return `the ${value > 0 ? "left" : "right"} is ${more}, by ${text}`;
}
