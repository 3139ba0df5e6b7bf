import { describe, expect, it } from "vitest";
import {
  EVENT_OFFSET_FRAMES,
  EVENT_SD_FRAMES,
  EVENT_U95_FRAMES,
  SLIP_SHARE,
} from "../../src/time/eventTime.ts";
import { medianInterval, orderedFrames } from "../../src/time/frameTimes.ts";
import { realSeconds } from "../../src/time/speedFactor.ts";
import { seeded } from "../helpers/random.ts";

describe("frame interval from a table's times", () => {
  it("is exact for NTSC rates printed to the millisecond, within that rounding", () => {
    // 60000/1001 frames a second (docs/references.md 8)
    const frames = [0, 7, 31, 32, 77, 150].map((frame) => ({
      frame,
      time: Number(((frame * 1001) / 60000).toFixed(3)),
    }));
    expect(medianInterval(orderedFrames(frames))).toBeCloseTo(1001 / 60000, 4);
  });

  it("ignores one dropped frame among many", () => {
    const frames = [0, 1, 2, 3, 4].map((frame) => ({ frame, time: frame / 50 + (frame > 2 ? 0.02 : 0) }));
    expect(medianInterval(orderedFrames(frames))).toBeCloseTo(1 / 50, 12);
  });

  it("is unknown with fewer than two frames", () => {
    expect(medianInterval([])).toBeNull();
    expect(
      medianInterval(
        orderedFrames([
          { frame: 3, time: 0.1 },
          { frame: 3, time: 0.1 },
        ]),
      ),
    ).toBeNull();
  });

  it("puts frames in order and keeps each once", () => {
    const ordered = orderedFrames([
      { frame: 9, time: 0.9 },
      { frame: 2, time: 0.2 },
      { frame: 9, time: 0.9 },
    ]);
    expect(ordered.map((f) => f.frame)).toEqual([2, 9]);
  });
});

describe("event times", () => {
  it("lie half a frame after a last contact and before a first one", () => {
    expect(EVENT_OFFSET_FRAMES).toEqual({ blade_off: 0.5, blade_on: -0.5 }); // docs/precision.md 6
  });

  it("spread as a rectangle with slips does", () => {
    const random = seeded(5);
    const errors = Array.from({ length: 100_000 }, () => {
      const slip = random();
      return random() - 0.5 + (slip < SLIP_SHARE / 2 ? -1 : slip < SLIP_SHARE ? 1 : 0);
    });
    const sd = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    expect(sd).toBeCloseTo(EVENT_SD_FRAMES, 2);
    const within = errors.filter((e) => Math.abs(e) <= EVENT_U95_FRAMES).length / errors.length;
    expect(within).toBeCloseTo(0.95, 2);
  });

  it("without slips would have the rectangle's SD: 4.811 ms at 60 Hz", () => {
    // docs/references.md 8 [computed]: event SD at 60 fps 4.811 ms
    expect(Math.sqrt(EVENT_SD_FRAMES ** 2 - SLIP_SHARE) * (1000 / 60)).toBeCloseTo(4.811, 3);
  });
});

describe("speed factor", () => {
  it("turns clip time into real time", () => {
    expect(realSeconds(8, 4)).toBe(2);
  });
});
