import { describe, expect, it } from "vitest";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demoStudy } from "./demoFiles.ts";

const DEMO = demoStudy();
const TRIAL = "wren-open-1";

function longBlades(whole: typeof DEMO, trial: string): readonly string[] {
  const reading = measuredOnce(whole)(trial);
  if (!reading.ok) throw new Error(reading.error.coach);
  return reading.value.warnings.filter((w) => w.code === "long-blade").map((w) => w.text);
}

describe("a blade longer than blades are", () => {
  // Marks of the demo scatter by 1.2 px; its runners are 0.28 m long (sample-clips/make/blades.ts).
  it("is never seen in the marks of a hand that is only unsteady", () => {
    for (const trial of ["aino-close-1", "aino-open-2", "tove-close-2", TRIAL]) {
      expect(longBlades(DEMO, trial), trial).toEqual([]);
    }
  });

  it("is named with side and frame where one end was put 21 px off", () => {
    const marks = DEMO.marks[TRIAL]!;
    const { frame, side } = marks.events.find((e) => e.event === "blade_off")!;
    const slipped = marks.marks.map((m) =>
      m.frame === frame && m.side === side && m.point === "blade_heel" ? { ...m, yPx: m.yPx - 21 } : m,
    );
    const said = longBlades(
      { ...DEMO, marks: { ...DEMO.marks, [TRIAL]: { ...marks, marks: slipped } } },
      TRIAL,
    );
    expect(said).toHaveLength(1);
    expect(said[0]).toContain(`The ${side} blade would be`);
    expect(said[0]).toContain(`in frame ${frame}`);
  });
});
