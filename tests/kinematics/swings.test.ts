import { describe, expect, it } from "vitest";
import { armExtremes, strideAt, swingsBetween } from "../../src/kinematics/arms/swings.ts";
import type { EventFrame, EventName, Side } from "../../src/study/types.ts";

const at = (event: EventName, side: Side, frame: number): EventFrame => ({
  ...{ event, side, frame },
  time: frame / 60,
});

describe("swings of an arm", () => {
  // By definition (docs/definitions): a swing lies between a front extreme and the next back one, or the other way round.
  it("lie between neighbouring extremes of unlike kind, whatever order they were picked in", () => {
    const events = [
      at("arm_back", "left", 40),
      at("arm_front", "left", 10),
      at("arm_front", "right", 12),
      at("blade_off", "left", 20),
      at("arm_front", "left", 44),
      at("arm_front", "left", 70),
      at("arm_back", "left", 101),
    ];
    const swings = swingsBetween(armExtremes(events, "left"));
    expect(swings.map(({ front, back, middle }) => [front.frame, back.frame, middle])).toEqual([
      [10, 40, 25],
      [44, 40, 42],
      [70, 101, 85.5],
    ]);
    expect(swingsBetween(armExtremes(events, "right"))).toEqual([]);
  });

  it("belong to the stride that ends next, after the last blade-off to the last", () => {
    const offs = [30, 60, 90];
    const of = (frame: number) => strideAt(offs, (off) => off, frame);
    expect([of(5), of(30), of(30.5), of(90), of(120)]).toEqual([30, 30, 60, 90, 90]);
    expect(strideAt([], (off: number) => off, 3)).toBeUndefined();
  });
});
