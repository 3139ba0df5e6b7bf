import { contactToMidline } from "../../kinematics/quantities/contactToMidline.ts";
import type { Quantity } from "../../kinematics/quantities/quantity.ts";
import { attempt, ifPossible, type Outcome } from "../../kinematics/quantities/readingOf.ts";
import { recoveryToMidline } from "../../kinematics/quantities/recoveryToMidline.ts";
import { type Found, quantityOf, speedOf } from "../../kinematics/quantities/strideReadings.ts";
import { type Slot, slot } from "../../kinematics/trial/notebook.ts";
import { travelLine } from "../../kinematics/trial/travelLine.ts";
import type { Told } from "../../kinematics/warnings/disbelief.ts";
import { entryOf, type StrideQuantity } from "../../quantities/catalogue.ts";
import { deriveOne, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import type { RememberedWay } from "../disagree/doubts.ts";
import { Conditioning } from "./conditioning.ts";
import { jointBlade, jointHip, type Meeting, type Moment } from "./offIce.ts";
import type { Push } from "./pushes.ts";
import type { Joint, View } from "./view.ts";

/** One way to a quantity of a push: by the formula in one view's frames. */
export interface Candidate {
  readonly view: View;
  readonly n: number;
  /** Whether points off the ice are found by several views' rays. */
  readonly bySeveral: boolean;
  readonly outcome: Outcome;
  /** What the view gives by itself in its own clock; null of several. */
  readonly own: Outcome | null;
}

/** What a stride is asked for, arms aside. */
export type Asked = StrideQuantity | "speed";

const OFF_ICE = ["half_width_m", "recovery_to_midline_m", "touchdown_to_midline_m"] as const;
type OffIce = (typeof OFF_ICE)[number];

/** Where a view remembers what several views give in its frames, by stride: so that what it rests on is known. */
const BY_SEVERAL: Readonly<Record<OffIce, Slot<number, Outcome>>> = {
  half_width_m: slot(),
  recovery_to_midline_m: slot(),
  touchdown_to_midline_m: slot(),
};

/** Every way to a quantity: by each view for itself, and where it needs points off the ice by all of their rays in each view's frame. */
export function candidatesFor(
  { joint, known }: { readonly joint: Joint; readonly known: Conditioning },
  push: Push,
  quantity: Asked,
  usable: (view: View, told: Told, n: number, way?: RememberedWay) => string | null,
  met: (meeting: Meeting) => void,
): Candidate[] {
  return joint.views.flatMap((view): Candidate[] => {
    const stride = push.strides[view.index];
    if (!stride || push.exchanged.includes(view.index)) return [];
    const n = stride.stride;
    const why = usable(view, quantity, n);
    const gap = why === null && !OF_ONE_PUSH.has(quantity) ? missingPush(joint, push, view) : why;
    if (gap !== null) return [{ view, n, bySeveral: false, outcome: { why: gap }, own: null }];
    const own = aloneIn(view, quantity, n);
    const alone: Candidate = {
      view,
      n,
      bySeveral: false,
      outcome: settled(view, quantity, n, own, known),
      own,
    };
    if (!isOffIce(quantity)) return [alone];
    const kept = BY_SEVERAL[quantity];
    const found = view.trial.remember(kept, n, () =>
      bySeveral({ joint, base: view, push }, quantity, n, met),
    );
    const doubt = usable(view, quantity, n, [kept, n]);
    const several: Outcome = doubt === null ? found : { why: doubt };
    return [alone, { view, n, bySeveral: true, outcome: several, own: null }];
  });
}

function isOffIce(asked: Asked): asked is OffIce {
  return (OFF_ICE as readonly string[]).includes(asked);
}

/** What does not ask for the pushes around. */
const OF_ONE_PUSH: ReadonlySet<Asked> = new Set(["blade_off_s", "blade_on_s", "recovery_time_s"]);

/** Why what asks for the pushes around can't be had in a view that misses one of them and goes on; null where it has them. */
function missingPush({ pushes }: Joint, { stride, strides }: Push, { index }: View): string | null {
  const own = strides[index]!.stride;
  const missing = [-1, 1].find((step) => {
    const isThere = pushes.some((push) => push.strides[index]?.stride === own + step);
    return isThere && pushes[stride - 1 + step]?.strides[index]?.stride !== own + step;
  });
  if (missing === undefined) return null;
  return `View ${index + 1} does not show the push ${missing < 0 ? "before" : "after"} this one.`;
}

function aloneIn({ trial }: View, quantity: Asked, n: number): Outcome {
  const found: Found = quantity === "speed" ? speedOf(trial, n, null) : quantityOf(trial, quantity, n, null);
  return found.outcome;
}

/**
 * Times in the first view's clock; and what is not linear in times and places worked out from these as all views know them,
 * since far from there it bends.
 */
function settled(
  { trial, tie }: View,
  asked: Asked,
  n: number,
  outcome: Outcome,
  known: Conditioning,
): Outcome {
  if ("why" in outcome) return outcome;
  const applied = (value: Uncertain) => known.applied(value);
  const at = trial.strides[n - 1]!;
  if (asked === "blade_off_s" || asked === "blade_on_s") {
    const value = tie.toFirst(outcome.value);
    return outcome.u95 === undefined ? { value } : { value, u95: outcome.u95 };
  }
  const since = (from: Uncertain, to: Uncertain) =>
    applied(
      weightedSum([
        [1, tie.toFirst(to)],
        [-1, tie.toFirst(from)],
      ]),
    );
  if (asked === "recovery_time_s")
    return { value: since(trial.eventTime(at, "blade_off"), trial.eventTime(at, "blade_on")) };
  if (asked === "stride_rate_hz") {
    const before = trial.stride(n - 1)!;
    const gap = since(trial.eventTime(before, "blade_off"), trial.eventTime(at, "blade_off"));
    return { value: deriveOne((seconds) => 1 / seconds, [gap]) };
  }
  if (asked !== "speed") return outcome;
  const { from, to, seconds } = travelLine(trial, n);
  const inputs = [...[from.x, from.y, to.x, to.y].map(applied), since(...seconds)];
  return {
    value: deriveOne((...[ax, ay, bx, by, took]) => Math.hypot(bx! - ax!, by! - ay!) / took!, inputs),
  };
}

function bySeveral(
  of: Omit<Moment, "what">,
  quantity: OffIce,
  n: number,
  met: (meeting: Meeting) => void,
): Outcome {
  const { trial } = of.base;
  const hip = (what: Moment["what"]) => jointHip({ ...of, what }, met);
  const find = (): Quantity => {
    if (quantity === "half_width_m") return contactToMidline(trial, n, "blade_off", hip("off"));
    if (quantity === "touchdown_to_midline_m") return contactToMidline(trial, n, "blade_on", hip("on"));
    const bladeOf = jointBlade({ ...of, what: "nearest" }, met);
    return recoveryToMidline(trial, n, { bladeOf, hipAt: hip("nearest") });
  };
  const { possible } = entryOf(quantity);
  return ifPossible(attempt(find), possible, trial.strides[n - 1]!.off.frame);
}

/** A way known so much worse than the surest says nothing beside it, and its straight lines may not hold. */
const WORTH = 6;
/** Two ways whose difference is surer than this share of either follow from each other. */
const SAME_AGAIN = 0.25;
/** Two views' values of one thing that lie so many standard deviations apart are not of one thing. */
const FAR = 4.5;

/** What comes of all ways to one quantity. */
export interface Combined {
  readonly value: Uncertain;
  readonly atFrame: Uncertain | null;
  /** The way in whose frames it is told. */
  readonly by: Candidate;
  /** How far apart two views' own values lie, in their standard deviations; 0 with one. */
  readonly apart: number;
}

/** The surest value that all ways to a quantity give together; null where no way gives one. */
export function combined(
  candidates: readonly Candidate[],
  known: Conditioning,
  asked: Asked,
): Combined | null {
  const had = candidates.flatMap((by) => ("why" in by.outcome ? [] : [{ by, ...by.outcome }]));
  if (had.length === 0) return null;
  const sure = had.map((one) => ({ ...one, value: known.applied(one.value) }));
  sure.sort((a, b) => a.value.u - b.value.u);
  const best = sure[0]!;
  const extra = new Conditioning();
  let apart = 0;
  // Speeds are of the stretch that a view has marked, and two views' stretches need not be the same.
  for (const other of asked === "speed" ? [] : sure.slice(1)) {
    if (other.value.u > WORTH * best.value.u) continue;
    const difference = weightedSum([
      [1, best.value],
      [-1, other.value],
    ]);
    // What follows from the rest says nothing new, and bends more than it errs.
    if (difference.u < SAME_AGAIN * best.value.u) continue;
    apart = Math.max(apart, Math.abs(difference.value) / difference.u);
    extra.add(difference);
  }
  const value = apart > FAR ? best.value : extra.applied(best.value);
  const { atFrame } = best;
  return { value, atFrame: atFrame ? extra.applied(known.applied(atFrame)) : null, by: best.by, apart };
}

/** Whether views' own values are too far apart to be of one thing. */
export function isFar({ apart }: Combined): boolean {
  return apart > FAR;
}
