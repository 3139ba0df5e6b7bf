import { describe, expect, it } from "vitest";
import { strideOrder } from "../../src/kinematics/trial/strideOrder.ts";
import type { EventFrame, EventName, Side } from "../../src/study/types.ts";

const event = (name: EventName, side: Side, frame: number): EventFrame => ({
  event: name,
  side,
  frame,
  time: frame / 60,
});
const off = (side: Side, frame: number) => event("blade_off", side, frame);
const on = (side: Side, frame: number) => event("blade_on", side, frame);

// Definitions: docs/contracts.md (events.csv) and docs/definitions.md.
describe("strides from events", () => {
  it("are numbered by blade-off in time, whatever the order of the rows", () => {
    const strides = strideOrder([on("left", 36), off("left", 60), off("right", 40), off("left", 20)]);
    expect(strides.map((s) => [s.stride, s.side, s.off.frame])).toEqual([
      [1, "left", 20],
      [2, "right", 40],
      [3, "left", 60],
    ]);
  });

  it("own the same blade's blade-on after their blade-off and before its next", () => {
    const strides = strideOrder([
      on("left", 5), // before any blade-off: nobody's recovery
      off("left", 20),
      on("left", 36),
      off("right", 40),
      off("left", 60),
      on("right", 57),
      on("left", 76),
    ]);
    expect(strides.map((s) => s.on?.frame ?? null)).toEqual([36, 57, 76]);
  });

  it("have no blade-on where none is marked before the next blade-off", () => {
    const strides = strideOrder([off("left", 20), off("right", 40), off("left", 60), on("left", 77)]);
    expect(strides.map((s) => s.on?.frame ?? null)).toEqual([null, null, 77]);
  });

  it("own the nearest frame between their blade-off and blade-on", () => {
    const strides = strideOrder([
      off("left", 20),
      event("recovery_min", "left", 28),
      on("left", 36),
      event("recovery_min", "left", 50), // after touchdown: not a recovery
    ]);
    expect(strides[0]!.nearest?.frame).toBe(28);
  });

  it("are none without a blade-off", () => {
    expect(strideOrder([on("left", 5)])).toEqual([]);
  });
});

describe("events that cannot all be true", () => {
  it("a blade that leaves and meets the ice in one frame", () => {
    expect(() => strideOrder([off("left", 20), on("left", 20)])).toThrow(/frame 20/);
  });

  it("a blade-on that has changed places with its blade-off", () => {
    const swapped = [
      off("left", 20),
      on("left", 36),
      on("left", 60),
      off("left", 76),
      off("left", 100),
      on("left", 116),
    ];
    expect(() => strideOrder(swapped)).toThrow(/frame 60 .*frame 76/);
  });

  it("a contact far shorter than a stride", () => {
    const rest = [off("right", 40), off("left", 60), off("right", 80)];
    expect(() => strideOrder([off("left", 20), on("left", 57), ...rest])).toThrow(/frame 57 .*frame 60/);
    expect(() => strideOrder([off("left", 20), off("left", 22), ...rest])).toThrow(/frame 20 .*frame 22/);
  });

  it("the same event twice", () => {
    expect(() => strideOrder([off("left", 20), off("left", 20)])).toThrow(/frame 20/);
  });

  it("but a missing blade-on or blade-off is only missing", () => {
    expect(strideOrder([off("left", 20), on("left", 36), on("left", 76)])).toHaveLength(1);
    expect(strideOrder([off("left", 20), off("left", 60), on("left", 76)])).toHaveLength(2);
  });
});
