import { TOLD_IN } from "../../kinematics/quantities/strideReadings.ts";
import type { Slot } from "../../kinematics/trial/notebook.ts";
import type { Told } from "../../kinematics/warnings/disbelief.ts";
import type { Reading, Warning } from "../../reading.ts";
import { chiSquareQuantile } from "../../statistics/distributions.ts";
import type { Side } from "../../study/types.ts";
import type { ArmMeeting } from "../joint/jointArm.ts";
import type { Meeting } from "../joint/offIce.ts";
import type { Push } from "../joint/pushes.ts";
import type { Joint, View } from "../joint/view.ts";
import type { Fault, Judgement } from "./judge.ts";
import { exchangedWords, faultWords, inFrames, meetingWords, scaleWords } from "./words.ts";

/** Of good trials' points off the ice, the share that may be told not to meet, over a trial's points together. */
const FALSE_ALARMS = 0.0005;
/** Points off the ice that a trial has about, for sharing that out. */
const POINTS = 60;

/** Where a view remembers a way to something by several views' rays in its frames, and under which number. */
export type RememberedWay = readonly [Slot<number, unknown>, number];

/** What the views of a trial do not agree about, and which values that leaves. */
export class Doubts {
  private readonly joint: Joint;
  private readonly judged: Judgement;
  private readonly meetings = new Map<string, string | null>();

  constructor(joint: Joint, judged: Judgement) {
    this.joint = joint;
    this.judged = judged;
  }

  /**
   * Why a way to something in a view's frames is not to be believed; null when it is.
   *
   * @param way of several views; absent = the view's own, which may have been refused before it looked at what this one rests on
   */
  against(view: View, push: Push, told: Told, n: number, way?: RememberedWay): string | null {
    const shown = this.ownRefusal(view, told, n);
    if (shown !== null) return shown;
    const scale = TIMES.has(told)
      ? undefined
      : this.judged.scales.find(({ views }) => views.includes(view.index));
    if (scale) return scaleWords(scale);
    const fault = this.judged.faults.find((one) => this.touches(one, view, { push, told, n, way }));
    return fault ? faultWords(fault) : null;
  }

  /** A reading that the view's own warnings speak against. */
  private ownRefusal({ assessment }: View, told: Told, n: number): string | null {
    const stride = assessment.readings.strides[n - 1]!;
    if (told === "arms") return null;
    const reading: Reading = told === "speed" ? stride.alongTrackSpeed : stride.readings[told];
    return reading.value === null && reading.why.startsWith(NOT_SHOWN) ? reading.why : null;
  }

  private touches(
    { agreement, blamed }: Fault,
    view: View,
    { push, told, n, way }: { push: Push; told: Told; n: number; way?: RememberedWay | undefined },
  ): boolean {
    const at = agreement.views.indexOf(view.index);
    if (at < 0 || (blamed !== null && blamed !== view.index)) return false;
    const frame = agreement.frames[at]!;
    const isTime = agreement.what === "time";
    if (isTime && timesTouched(agreement.contact, push.stride - agreement.push.stride).has(told)) return true;
    if (TIMES.has(told)) return false;
    const sides: readonly Side[] = isTime ? ["left", "right"] : [agreement.side];
    const rests = view.trial.restsOnBlades(sides.map((side) => ({ frame, side })));
    return rests(TOLD_IN[told], n) || (way !== undefined && rests(...way));
  }

  /** How the rays of a point off the ice meet. */
  heard({ moment: { push }, what, point, views, frames }: Meeting): void {
    const key = `${push.stride} ${what} ${frames.join()}`;
    if (this.meetings.has(key)) return;
    const isBad = point.square > chiSquareQuantile(1 - FALSE_ALARMS / POINTS, point.df);
    this.meetings.set(key, isBad ? meetingWords(push, what, inFrames(views, frames), point.miss) : null);
  }

  /** Whether what the quantity needs off the ice is seen alike by all views. */
  meetingHolds(push: Push): boolean {
    return ![...this.meetings].some(([key, words]) => words !== null && key.startsWith(`${push.stride} `));
  }

  /** Whether the rays of an arm's joints meet. */
  armsMeet(push: Push, met: readonly ArmMeeting[]): boolean {
    const bad = met.filter(
      ({ point }) => point.square > chiSquareQuantile(1 - FALSE_ALARMS / POINTS, point.df),
    );
    for (const { joint, side, views, frames, point } of bad) {
      const key = `${push.stride} ${side} ${joint} ${frames.join()}`;
      this.meetings.set(key, meetingWords(push, `${side} ${joint}`, inFrames(views, frames), point.miss));
    }
    return bad.length === 0;
  }

  /** Why nothing is told of a push whose sides are exchanged in every view that could. */
  whyNothing(push: Push): string | null {
    return push.exchanged.length > 0 ? exchangedWords(this.joint, push) : null;
  }

  warnings(): Warning[] {
    const { scales, faults } = this.judged;
    const texts = [
      ...scales.map(scaleWords),
      ...this.joint.pushes.filter((p) => p.exchanged.length > 0).map((p) => exchangedWords(this.joint, p)),
      ...faults.map((fault) => faultWords(fault)),
      // Where a whole scale is wrong no rays meet.
      ...(scales.length > 0 ? [] : [...this.meetings.values()].filter((words) => words !== null)),
    ];
    return [...new Set(texts)].map((text) => ({ code: "views-disagree", text }));
  }
}

const NOT_SHOWN = "Not shown, because of a warning:";
const TIMES: ReadonlySet<Told> = new Set(["blade_off_s", "blade_on_s", "stride_rate_hz", "recovery_time_s"]);

/** Times that rest on a contact, so many pushes after it. */
function timesTouched(contact: "blade_off" | "blade_on", later: number): ReadonlySet<Told> {
  if (contact === "blade_on") return new Set(later === 0 ? ["blade_on_s", "recovery_time_s"] : []);
  if (later === 0) return new Set(["blade_off_s", "stride_rate_hz", "recovery_time_s"]);
  return new Set(later === 1 ? ["stride_rate_hz"] : []);
}
