import { meanOfArm, meanOfArms } from "../kinematics/quantities/armMeans.ts";
import { trialMean } from "../kinematics/quantities/trialMeans.ts";
import { speedLimit } from "../kinematics/speed/alongTrackSpeed.ts";
import type { Stride, TrialMean, TrialReadings } from "../kinematics/types.ts";
import { entryOf, isOfArm, STRIDE_QUANTITIES, TRIAL_QUANTITIES } from "../quantities/catalogue.ts";
import type { Reading, Warning } from "../reading.ts";
import type { EventFrame, Side } from "../study/types.ts";
import { realSeconds } from "../time/speedFactor.ts";
import { Doubts } from "./disagree/doubts.ts";
import { judgeAgreements } from "./disagree/judge.ts";
import { agreements } from "./joint/agreements.ts";
import { type ArmsOfPush, ArmsOfPushes } from "./joint/armsOfPushes.ts";
import type { Asked } from "./joint/candidates.ts";
import { Conditioning } from "./joint/conditioning.ts";
import type { Extreme, Push } from "./joint/pushes.ts";
import { QuantityOfPush, type Told } from "./joint/quantityOfPush.ts";
import { frameInstant, type Joint, type View } from "./joint/view.ts";
import type { ViewSummary, ViewsReadings } from "./types.ts";

const SIDES = ["left", "right"] as const;
const ASKED: readonly Asked[] = [...STRIDE_QUANTITIES, "speed"];

/**
 * What several views of a trial say together.
 *
 * @param owned by view, the causes that it alone has
 */
export function jointReadings(
  joint: Joint,
  owned: readonly ReadonlySet<number>[],
  extremes: readonly Extreme[],
): ViewsReadings {
  const judged = judgeAgreements(joint, agreements(joint));
  const known = new Conditioning(judged.good.flatMap(({ differences }) => differences));
  const doubts = new Doubts(joint, judged);
  const quantities = new QuantityOfPush(joint, known, doubts, owned);
  const arms = new ArmsOfPushes(joint, known, doubts, extremes);
  const told = joint.pushes.map((push) => {
    const of = new Map(ASKED.map((asked) => [asked, quantities.of(push, asked)] as const));
    return { push, of, arms: { left: arms.of(push, "left"), right: arms.of(push, "right") } };
  });
  const strides = told.map((one): Stride => strideOf(joint, one));
  const meanOf = (asked: Asked, balanced: boolean, limit: Parameters<typeof trialMean>[3]): TrialMean => {
    const all = told.map(({ push, of }) => ({ side: push.side, outcome: of.get(asked)!.outcome }));
    return withViews(
      trialMean(all, balanced, null, limit),
      told.map(({ of }) => of.get(asked)!.reading),
    );
  };
  const swings = (what: "axis" | "angle", side: Side) =>
    told.map(({ push, arms: both }) => ({ arm: side, stride: push.side, outcome: both[side][what] }));
  const readingsOf = (quantity: "arm_swing_direction_deg" | "arm_swing_angle_deg", side: Side) =>
    told.map(
      ({ arms: both }) =>
        both[side][quantity === "arm_swing_angle_deg" ? "angleReading" : "directionReading"],
    );
  const what = (quantity: string) => (quantity === "arm_swing_angle_deg" ? "angle" : "axis");
  const armMeans = (quantity: "arm_swing_direction_deg" | "arm_swing_angle_deg") =>
    Object.fromEntries(
      SIDES.map((side) => [
        side,
        withViews(meanOfArm(quantity, swings(what(quantity), side), null), readingsOf(quantity, side)),
      ]),
    ) as Record<Side, TrialMean>;
  const trial = TRIAL_QUANTITIES.map((quantity) => {
    if (!isOfArm(quantity)) {
      const { balanced, limit } = entryOf(quantity);
      return [quantity, meanOf(quantity, balanced, { limit })];
    }
    const all = SIDES.flatMap((side) => swings(what(quantity), side));
    const shown = SIDES.flatMap((side) => readingsOf(quantity, side));
    return [quantity, withViews(meanOfArms(quantity, all, null), shown)];
  });
  const [first] = joint.views as [View, ...View[]];
  const { readings } = first.assessment;
  return {
    readings: {
      scale: readings.scale,
      scaleWhy: readings.scaleWhy,
      strides,
      trial: Object.fromEntries(trial) as TrialReadings["trial"],
      arms: { directionDeg: armMeans("arm_swing_direction_deg"), angleDeg: armMeans("arm_swing_angle_deg") },
      alongTrackSpeed: meanOf("speed", false, { limit: speedLimit, unit: "m/s" }),
      sprint: sprintOf(joint),
      places: readings.places,
      gateSpeeds: [],
      runner: readings.runner,
      marking: readings.marking,
      warnings: [...doubts.warnings(), ...quantities.warnings(), ...joint.views.flatMap(ownWarnings)],
    },
    views: joint.views.map((view) => summaryOf(joint, view)),
  };
}

interface ToldOfPush {
  readonly push: Push;
  readonly of: ReadonlyMap<Asked, Told>;
  readonly arms: Readonly<Record<Side, ArmsOfPush>>;
}

/** The first view's frame at the moment of another view's, be it in its clip or before or after it. */
function inFirst({ views: [first] }: Joint, view: View, event: EventFrame): number {
  if (view.index === 0) return event.frame;
  const { input, trial } = first!.assessment;
  const known = input.events[0]!;
  const since = frameInstant(view, event).value - realSeconds(known.time, trial.speedFactor);
  return known.frame + Math.round(since / trial.frameSeconds);
}

function strideOf(joint: Joint, { push, of, arms }: ToldOfPush): Stride {
  const { views } = joint;
  const first = views.find(({ index }) => push.strides[index])!;
  const own = push.strides[first.index]!;
  const base = first.assessment.readings.strides[own.stride - 1]!;
  const both = (pick: (arm: ArmsOfPush) => Reading) => ({ left: pick(arms.left), right: pick(arms.right) });
  const readings = STRIDE_QUANTITIES.map((quantity) => [quantity, of.get(quantity)!.reading]);
  return {
    stride: push.stride,
    side: push.side,
    blade_off_frame: inFirst(joint, first, own.off),
    blade_on_frame: own.on ? inFirst(joint, first, own.on) : null,
    ...(first.index > 0 && { view: first.index + 1 }),
    readings: Object.fromEntries(readings) as Stride["readings"],
    armSwingDirectionDeg: both((arm) => arm.directionReading),
    armSwingAngleDeg: both((arm) => arm.angleReading),
    armPictureAngleDeg: base.armPictureAngleDeg,
    alongTrackSpeed: of.get("speed")!.reading,
    off: base.off,
    on: base.on,
    recovery:
      base.recovery && own.nearest
        ? { ...base.recovery, frame: inFirst(joint, first, own.nearest) }
        : base.recovery,
  };
}

/** A mean with the views that gave any of its values. */
function withViews(mean: TrialMean, readings: readonly Reading[]): TrialMean {
  if (!("mean" in mean)) return mean;
  const views = new Set(readings.flatMap((r) => (r.value === null ? [] : (r.views ?? []))));
  return { ...mean, views: [...views].sort((a, b) => a - b) };
}

/** Of the view that has it surest, in the first view's clock. */
function sprintOf({ views }: Joint): TrialReadings["sprint"] {
  const had = views.flatMap(({ assessment, tie }) => {
    const { sprint } = assessment.readings;
    return "top" in sprint && sprint.top.value !== null ? [{ sprint, tie, u95: sprint.top.u95 }] : [];
  });
  const best = had.sort((a, b) => a.u95 - b.u95)[0];
  if (!best) return views[0]!.assessment.readings.sprint;
  const { sprint, tie } = best;
  const { start } = sprint;
  const by = tie.offset.value;
  return {
    ...sprint,
    start: start.value === null ? start : { ...start, value: start.value + by },
    from: sprint.from + by,
    to: sprint.to + by,
  };
}

/** What a view's own readings warn of, each beginning with which view it is. */
function ownWarnings({ index, assessment }: View): Warning[] {
  const { scale, warnings } = assessment.readings;
  const all = index === 0 ? warnings : [...(scale?.warnings ?? []), ...warnings];
  return all.map(({ code, text }) => ({ code, text: `View ${index + 1}: ${text}` }));
}

function summaryOf({ pushes }: Joint, { index, assessment, tie }: View): ViewSummary {
  const { scale, scaleWhy, marking, runner } = assessment.readings;
  const of = ({ value, u95 }: { readonly value: number; readonly u95: number }) => ({ value, u95 });
  return {
    view: index + 1,
    ...{ scale, scaleWhy, marking, runner },
    offset: of(tie.offset),
    at: tie.at,
    rate: of(tie.rate),
    shared: pushes.filter(({ strides }) => strides[0] && strides[index]).length,
  };
}
