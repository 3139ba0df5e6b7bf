import { type Outcome, readingOf } from "../../kinematics/quantities/readingOf.ts";
import { armsOf } from "../../kinematics/quantities/strideReadings.ts";
import { type Slot, slot } from "../../kinematics/trial/notebook.ts";
import { angleLimit } from "../../quantities/limits.ts";
import type { Reading } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import type { Doubts } from "../disagree/doubts.ts";
import type { Conditioning } from "./conditioning.ts";
import { type JointSwing, jointSwing } from "./jointArm.ts";
import type { Extreme, Push } from "./pushes.ts";
import { had, type Joint, type View } from "./view.ts";

/** One arm's swing in a push. */
export interface ArmsOfPush {
  /** The direction with its sense. */
  readonly axis: Outcome;
  readonly angle: Outcome;
  readonly directionReading: Reading;
  readonly angleReading: Reading;
}

/** One way to a swing. */
interface Way {
  readonly axis: Outcome;
  readonly direction: Outcome;
  readonly angle: Outcome;
  readonly views: readonly number[];
}

/** Where a view remembers what several views give in its frames, by stride: so that what it rests on is known. */
const BY_SEVERAL: Readonly<Record<Side, Slot<number, JointSwing>>> = { left: slot(), right: slot() };

/** Swings of arms by all views together: by the rays of several where these mark it, else as one view gives it. */
export class ArmsOfPushes {
  private readonly joint: Joint;
  private readonly known: Conditioning;
  private readonly doubts: Doubts;
  private readonly extremes: readonly Extreme[];

  constructor(joint: Joint, known: Conditioning, doubts: Doubts, extremes: readonly Extreme[]) {
    this.joint = joint;
    this.known = known;
    this.doubts = doubts;
    this.extremes = extremes;
  }

  of(push: Push, side: Side): ArmsOfPush {
    const shown = this.joint.views.filter(
      ({ index }) => push.strides[index] && !push.exchanged.includes(index),
    );
    const several = shown.flatMap((view) => this.bySeveral(push, view, side) ?? []);
    const alone = shown.map((view) => this.alone(push, view, side));
    const ways = [...several, ...alone];
    const direction = surest(ways, "direction");
    const angle = surest(ways, "angle");
    return {
      axis: direction.way?.axis ?? direction.refusal,
      angle: angle.way?.angle ?? angle.refusal,
      directionReading: direction.reading,
      angleReading: angle.reading,
    };
  }

  private bySeveral(push: Push, base: View, side: Side): Way | null {
    const n = push.strides[base.index]!.stride;
    if (this.doubts.against(base, push, "arms", n) !== null) return null;
    const kept = BY_SEVERAL[side];
    const swing = had(() =>
      base.trial.remember(kept, n, () =>
        jointSwing(this.joint, base, n, side, (event) => this.shownIn(base, event)),
      ),
    );
    if (!swing || this.doubts.against(base, push, "arms", n, [kept, n]) !== null) return null;
    if (!this.doubts.armsMeet(push, swing.met)) return null;
    const applied = (outcome: Outcome): Outcome =>
      "why" in outcome ? outcome : { value: this.known.applied(outcome.value) };
    return {
      axis: applied(swing.axis),
      direction: applied(swing.direction),
      angle: applied(swing.angle),
      views: swing.views.map((v) => v + 1),
    };
  }

  private shownIn(base: View, event: EventFrame) {
    const extreme = this.extremes.find(({ shown }) =>
      shown.some((s) => s.v === base.index && s.event === event),
    );
    return (extreme?.shown ?? []).map((s) => ({ view: this.joint.views[s.v]!, event: s.event }));
  }

  private alone(push: Push, { index, trial, assessment }: View, side: Side): Way {
    const n = push.strides[index]!.stride;
    const reading = assessment.readings.strides[n - 1]!;
    const why = this.doubts.against(this.joint.views[index]!, push, "arms", n);
    if (why !== null) {
      const refusal: Outcome = { why };
      return { axis: refusal, direction: refusal, angle: refusal, views: [index + 1] };
    }
    const { axis, direction, angle } = armsOf(trial, assessment.input.events, n, null)[side];
    const believed = (outcome: Outcome, shown: Reading): Outcome =>
      shown.value === null && !("why" in outcome) ? { why: shown.why } : outcome;
    const directions = reading.armSwingDirectionDeg[side];
    return {
      axis: believed(axis, directions),
      direction: believed(direction.outcome, directions),
      angle: believed(angle.outcome, reading.armSwingAngleDeg[side]),
      views: [index + 1],
    };
  }
}

function surest(ways: readonly Way[], what: "direction" | "angle") {
  const had = ways.flatMap((way) => {
    const outcome = way[what];
    if ("why" in outcome) return [];
    const reading = readingOf(outcome, null, angleLimit, "°");
    return [{ way, reading, u95: outcome.value.u95 }];
  });
  const best = had.sort((a, b) => a.u95 - b.u95)[0];
  if (!best || best.reading.value === null) {
    const first = best ? null : ways.find((way) => "why" in way[what])?.[what];
    const refusal = first && "why" in first ? first : { why: whyOf(best?.reading) };
    return { way: null, refusal, reading: best?.reading ?? readingOf(refusal, null) };
  }
  const reading: Reading = { ...best.reading, views: best.way.views };
  return { way: best.way, refusal: { why: "" }, reading };
}

function whyOf(reading: Reading | undefined): string {
  return reading?.value === null ? reading.why : "No view shows this stride.";
}
