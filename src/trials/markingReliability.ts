import { type Reliability, reliability } from "../compare/reliability.ts";
import { MeasureError } from "../errors.ts";
import { measureTrial } from "../kinematics/measureTrial.ts";
import type { Stride } from "../kinematics/types.ts";
import { entryOf, MEANS_OF_STRIDES, type MeanOfStrides } from "../quantities/catalogue.ts";
import type { OrWhy } from "../reading.ts";
import type { Mark, WholeStudy } from "../study/types.ts";
import { trialInput } from "./trialInput.ts";

/** One marking of a trial from its first point to its last: whose, and which time. */
interface Marking {
  readonly name: string;
  readonly marks: readonly Mark[];
}

/** A stride's readings of one quantity, one a marking. */
export interface StrideReadings {
  readonly trial: string;
  readonly stride: number;
  readonly values: readonly number[];
}

export interface QuantityReliability {
  readonly quantity: MeanOfStrides;
  /** Strides that have it in every marking. */
  readonly rows: readonly StrideReadings[];
  readonly found: OrWhy<{ readonly value: Reliability }>;
}

export interface MarkingReliability {
  /** Ids of the trials that are marked more than once. */
  readonly trials: readonly string[];
  /** Markings compared in each of them. */
  readonly markings: number;
  readonly quantities: readonly QuantityReliability[];
}

/** From fewer the interval of a typical error says nothing. */
const ENOUGH_STRIDES = 3;

/** Times come from the event frames, which are picked once. */
const MARKED = MEANS_OF_STRIDES.filter((q) => entryOf(q).restsOn === "marks");

/**
 * How well strides repeat when a trial is marked again without seeing the first marks: each marking is measured by
 * itself, and a stride's readings of the same quantity are one row. The frames picked for the events are shared, so
 * what the eye adds by picking another frame is not in it.
 *
 * @returns null where no trial is marked more than once
 */
export function markingReliability(whole: WholeStudy): MarkingReliability | null {
  const before = known.get(whole);
  if (before !== undefined) return before;
  const found = measuredAgain(whole);
  known.set(whole, found);
  return found;
}

const known = new WeakMap<WholeStudy, MarkingReliability | null>();

function measuredAgain(whole: WholeStudy): MarkingReliability | null {
  const twice = whole.study.trials.flatMap((trial) => {
    const markings = markingsOf(whole.marks[trial.id]?.marks ?? []);
    return markings.length > 1 ? [{ trial: trial.id, markings }] : [];
  });
  if (twice.length === 0) return null;
  const count = Math.min(...twice.map(({ markings }) => markings.length));
  const measured = twice.map(({ trial, markings }) =>
    markings.slice(0, count).map(({ marks }) => stridesOf(whole, trial, marks)),
  );
  return {
    trials: twice.map(({ trial }) => trial),
    markings: count,
    quantities: MARKED.map((quantity) => {
      const rows = measured.flatMap((columns, i) => rowsOf(twice[i]!.trial, columns, quantity));
      return { quantity, rows, found: repeated(rows.map((r) => r.values)) };
    }),
  };
}

function markingsOf(marks: readonly Mark[]): readonly Marking[] {
  const byName = new Map<string, Mark[]>();
  for (const mark of marks) {
    const name = `${mark.pass ?? 1} ${mark.observer ?? ""}`;
    const list = byName.get(name);
    if (list) list.push(mark);
    else byName.set(name, [mark]);
  }
  return [...byName].map(([name, own]) => ({ name, marks: own })).sort((a, b) => (a.name < b.name ? -1 : 1));
}

function stridesOf(whole: WholeStudy, trial: string, marks: readonly Mark[]): readonly Stride[] {
  try {
    const input = trialInput(whole, trial);
    // None of these quantities rests on the arms, and they take longest.
    const events = input.events.filter((e) => e.event !== "arm_front" && e.event !== "arm_back");
    return measureTrial({ ...input, marks, events }).strides;
  } catch (error) {
    if (error instanceof MeasureError) return [];
    throw error;
  }
}

/** One row for each stride that has the quantity in every marking. */
function rowsOf(
  trial: string,
  columns: readonly (readonly Stride[])[],
  quantity: MeanOfStrides,
): readonly StrideReadings[] {
  const [first = [], ...others] = columns;
  return first.flatMap((stride) => {
    const same = others.map((strides) => strides.find((s) => s.stride === stride.stride));
    const values = [stride, ...same].map((s) => s?.readings[quantity].value ?? null);
    return values.every((value): value is number => value !== null)
      ? [{ trial, stride: stride.stride, values }]
      : [];
  });
}

function repeated(table: readonly (readonly number[])[]): QuantityReliability["found"] {
  if (table.length < ENOUGH_STRIDES) {
    return { value: null, why: `Fewer than ${ENOUGH_STRIDES} strides have it in every marking.` };
  }
  return { value: reliability(table) };
}
