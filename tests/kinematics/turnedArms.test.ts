import { describe, expect, it } from "vitest";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { EventFrame } from "../../src/study/types.ts";
import { type MeasureDocument, measureTables } from "../validate/drive.ts";
import { type FilmedTrial, filmTrial, ORDINARY } from "../validate/film.ts";
import { PLACEMENTS, type View } from "../validate/placements.ts";

/*
 * The outside check is the elbow: it bends one way only. The skaters are the validation's (tests/validate/skater.ts, no code
 * of src), whose arms swing fore and aft, obliquely or across, with elbows bent by 45° to 110° and more.
 */

const STILL = PLACEMENTS.filter((p) => p.follows === null && p.height === 3);
const turned = (e: EventFrame): EventFrame =>
  e.elbowTowardCamera === undefined || e.wristTowardCamera === undefined
    ? e
    : { ...e, elbowTowardCamera: !e.elbowTowardCamera, wristTowardCamera: !e.wristTowardCamera };

function trials(views: readonly View[], arms: string, skaters = 6): FilmedTrial[] {
  return STILL.filter((p) => views.includes(p.view)).flatMap((placement) =>
    Array.from({ length: skaters }, (_, who) => filmTrial(51, placement, who, ORDINARY)).filter(
      (film) => film !== null && film.skater.arms === arms,
    ),
  ) as FilmedTrial[];
}

function told(film: FilmedTrial, events: (e: EventFrame) => EventFrame) {
  const change = (input: MeasureInput) => ({ ...input, events: input.events.map(events) });
  const said = measureTables(film, 1, 0, change) as MeasureDocument;
  return { said, warnings: said.warnings.filter((w) => w.code === "arm-answers-turned") };
}

describe("all answers about an arm the wrong way round", () => {
  it.each([
    [["behind", "finish"], "fore-aft"],
    [["20 deg"], "fore-aft"],
    [["bench"], "side-to-side"],
    [["45 deg"], "side-to-side"],
  ] as const)("are told, and no swing is shown: from %s, swinging %s", (views, arms) => {
    const films = trials(views, arms);
    // Of every three skaters one swings so.
    expect(films.length).toBeGreaterThan(2);
    let hidden = 0;
    for (const film of films) {
      const { said, warnings } = told(film, turned);
      expect(warnings.length).toBeGreaterThan(0);
      for (const side of ["left", "right"] as const)
        if (warnings.some(({ text }) => text.includes(`the ${side} arm`)))
          for (const stride of said.strides) {
            expect(stride.arm_swing_angle_deg[side].value).toBeNull();
            hidden++;
          }
    }
    expect(hidden).toBeGreaterThan(4 * films.length);
  });

  it("of one arm leave the other one's swings", () => {
    const [film] = trials(["finish"], "fore-aft");
    const { said, warnings } = told(film!, (e) => (e.side === "left" ? turned(e) : e));
    expect(warnings.map(({ text }) => text)).toEqual([expect.stringContaining("the left arm")]);
    const shown = (side: "left" | "right") =>
      said.strides.filter((s) => s.arm_swing_angle_deg[side].value !== null).length;
    expect(shown("left")).toBe(0);
    expect(shown("right")).toBeGreaterThan(0);
  });

  it("are not told of answers that are right", () => {
    for (const arms of ["fore-aft", "diagonal", "side-to-side"]) {
      const films = trials(["behind", "finish", "20 deg", "45 deg", "bench"], arms, 6);
      expect(films.length).toBeGreaterThan(15);
      let seen = 0;
      for (const film of films) {
        const { said, warnings } = told(film, (e) => e);
        expect(warnings).toEqual([]);
        if (said.strides.some((s) => s.arm_swing_angle_deg.left.value !== null)) seen++;
      }
      // What is not told is also not hidden: of nine in ten something is shown.
      expect(seen / films.length).toBeGreaterThanOrEqual(0.9);
    }
  });
});
