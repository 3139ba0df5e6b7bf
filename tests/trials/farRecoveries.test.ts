import { describe, expect, it } from "vitest";
import type { EventFrame, Side, WholeStudy } from "../../src/study/types.ts";
import { farRecoveries } from "../../src/trials/farRecoveries.ts";
import { demo } from "../helpers/demoReadings.ts";

const DEMO = demo();
const TRIAL = "aino-close-1";

/** The demo with the events of one trial changed. */
function withEvents(change: (events: readonly EventFrame[]) => readonly EventFrame[]): WholeStudy {
  const marks = DEMO.marks[TRIAL]!;
  return { ...DEMO, marks: { ...DEMO.marks, [TRIAL]: { ...marks, events: change(marks.events) } } };
}

/** `seconds` from each blade-off to its blade-on, at 100 frames a second. */
function strides(seconds: readonly number[]): EventFrame[] {
  return seconds.flatMap((recovery, k) => {
    const side: Side = k % 2 === 0 ? "left" : "right";
    const off = 100 + 100 * k;
    const at = (event: "blade_off" | "blade_on", frame: number): EventFrame => ({
      ...{ event, side, frame },
      time: frame / 100,
    });
    return [at("blade_off", off), at("blade_on", off + Math.round(100 * recovery))];
  });
}

/** One trial with these events and nothing to compare it with. */
function alone(events: readonly EventFrame[], speedFactor = 1): WholeStudy {
  const study = {
    ...DEMO.study,
    trials: DEMO.study.trials.filter((t) => t.id === TRIAL).map((t) => ({ ...t, speedFactor })),
  };
  const marks = DEMO.marks[TRIAL]!;
  const picture = { ...marks.picture!, frameInterval: 0.01 };
  return { study, marks: { [TRIAL]: { ...marks, picture, events } } };
}

describe("recovery times far from the others", () => {
  it("are none in the demo, whose events the generator knows to be right", () => {
    expect(DEMO.study.trials.flatMap((t) => farRecoveries(DEMO, t.id))).toEqual([]);
  });

  it("are found where a blade-on was picked 21 frames late, and only there", () => {
    const last = DEMO.marks[TRIAL]!.events.filter((e) => e.event === "blade_on").at(-1)!;
    const { frameInterval } = DEMO.marks[TRIAL]!.picture!;
    const late = { ...last, frame: last.frame + 21, time: last.time + 21 * frameInterval };
    // A late last blade-on contradicts no other event.
    const whole = withEvents((events) => events.map((e) => (e === last ? late : e)));
    const found = farRecoveries(whole, TRIAL);
    expect(found).toHaveLength(1);
    expect(found[0]!.text).toMatch(
      new RegExp(`far from this skater’s others .* ${late.side} blade-on of frame ${late.frame} `),
    );
    // One wrong frame throws no doubt on the skater's other trials.
    const others = whole.study.trials.filter((t) => t.id !== TRIAL);
    expect(others.flatMap((t) => farRecoveries(whole, t.id))).toEqual([]);
  });

  it("are judged by the median and its deviation, which a wrong one among them does not move", () => {
    // Of the others 0.25, 0.26, 0.27, 0.28 (and the wrong 0.60): median 0.27.
    const found = farRecoveries(alone(strides([0.25, 0.26, 0.6, 0.27, 0.28])), TRIAL);
    expect(found.map(({ code, stride }) => [code, stride])).toEqual([["far-recovery", 3]]);
    // Less the frame (here 1/100 s) by which the two events lie between the frames picked for them.
    expect(found[0]!.text).toContain("0.590 s");
    expect(farRecoveries(alone(strides([0.25, 0.26, 0.35, 0.27, 0.28])), TRIAL)).toEqual([]);
    // Others that differ much make a wide spread: median 0.4, MAD 0.1.
    expect(farRecoveries(alone(strides([0.2, 0.3, 0.4, 0.5, 0.6, 0.7])), TRIAL)).toEqual([]);
  });

  it("are compared with everybody's where the skater has none, and by what is possible where nobody has", () => {
    const stranger = withEvents(() => strides([0.617]));
    const study = {
      ...stranger.study,
      trials: stranger.study.trials.map((t) => (t.id === TRIAL ? { ...t, skater: "nobody else" } : t)),
    };
    expect(farRecoveries({ ...stranger, study }, TRIAL)[0]?.text).toContain("the others of this study");
    expect(farRecoveries(alone(strides([0.617])), TRIAL)).toEqual([]);
    expect(farRecoveries(alone(strides([1.2])), TRIAL)[0]?.text).toContain("what sprinting skaters do");
    // A clip played ten times slower shows 1.2 s for 0.12 s.
    expect(farRecoveries(alone(strides([1.2]), 10), TRIAL)).toEqual([]);
  });
});
