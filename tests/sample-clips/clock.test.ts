import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { CLOCK, MISTYPED } from "../../sample-clips/make/armsEvening.ts";
import { clockTimes, clockTruth } from "../../sample-clips/make/clock.ts";
import { ClockPainter } from "../../sample-clips/make/clockPainter.ts";
import { truthText } from "../../sample-clips/make/truth.ts";
import { demoStudy, SAMPLE_CLIPS } from "../demo/demoFiles.ts";
import { type ClockTruth, readClock } from "../helpers/clockReading.ts";

describe("the timing display", () => {
  const truth = clockTruth(CLOCK) as unknown as ClockTruth;
  const [width] = truth.picture;
  const painter = new ClockPainter(CLOCK);
  const times = clockTimes(CLOCK);
  const shown = (frame: number) => {
    const picture = painter.paint(times[frame]!);
    return readClock(truth, (x, y) => picture[4 * (y * width + x)]!);
  };

  it("runs, then stands at 4.75 from the frame the truth names to the last", () => {
    expect(truth.stopped_s).toBe(4.75);
    const still = truth.first_still_frame;
    for (const frame of [still, still + 1, truth.frames - 1]) expect(shown(frame)).toBe("4.75");
    // 0.1 s before: ten hundredths less, of which the running last figure may be smeared.
    expect(shown(still - 6)).toMatch(/^4\.[67]/);
    expect(shown(still - 6)).not.toBe("4.75");
    expect(truth.frames - still).toBeGreaterThan(truth.fps_true);
  });

  it("has its truth made the same again, as committed", () => {
    expect(truthText(clockTruth(CLOCK))).toBe(
      readFileSync(`${SAMPLE_CLIPS}truth/${CLOCK.name}.json`, "utf8"),
    );
  });

  it("contradicts what was typed for that trial", () => {
    const trial = demoStudy("arms-study").study.trials.find((t) => t.id === MISTYPED.trial);
    expect(trial?.time).toBe(4.57);
  });
});
