import { describe, expect, it } from "vitest";
import { FramePairing } from "../../electron/clip/store/framePairing.ts";

describe("binding JPEGs to frames", () => {
  it("waits for time, packet and bytes, in whatever order they come", () => {
    const pairing = new FramePairing(0, 0);
    pairing.addBytes(15);
    expect(pairing.takeReady()).toEqual([]);
    pairing.addPacket(0, 10);
    expect(pairing.takeReady()).toEqual([]);
    pairing.addTime(700, true);
    expect(pairing.takeReady()).toEqual([{ ordinal: 0, offset: 0, length: 10, pts: 700, key: true }]);
    pairing.addTime(733, false);
    pairing.addPacket(1, 6);
    expect(pairing.takeReady()).toEqual([]);
    pairing.addBytes(1);
    expect(pairing.takeReady()).toEqual([{ ordinal: 1, offset: 10, length: 6, pts: 733, key: false }]);
    expect(pairing.takeRest()).toEqual([]);
  });

  it("leaves a hole where a picture never came, and shifts no neighbour", () => {
    const pairing = new FramePairing(0, 0);
    for (const pts of [0, 100, 250, 300]) pairing.addTime(pts, false);
    pairing.addPacket(0, 5);
    pairing.addPacket(2, 7);
    pairing.addBytes(12);
    expect(pairing.takeReady()).toEqual([
      { ordinal: 0, offset: 0, length: 5, pts: 0, key: false },
      { ordinal: 1, offset: 5, length: 0, pts: 100, key: false },
      { ordinal: 2, offset: 5, length: 7, pts: 250, key: false },
    ]);
    expect(pairing.takeRest()).toEqual([{ ordinal: 3, offset: 12, length: 0, pts: 300, key: false }]);
  });

  it("goes on after the frames of an earlier run", () => {
    const pairing = new FramePairing(2, 40);
    for (const pts of [0, 1, 2, 3]) pairing.addTime(pts, false);
    pairing.addPacket(2, 8);
    pairing.addBytes(8);
    expect(pairing.takeReady()).toEqual([{ ordinal: 2, offset: 40, length: 8, pts: 2, key: false }]);
  });

  it("counts from a clean start in the middle of the clip", () => {
    const pairing = new FramePairing(102, 40, 100);
    for (const pts of [1000, 1010, 1020]) pairing.addTime(pts, pts === 1000);
    expect(pairing.timesSeen).toBe(103);
    pairing.addPacket(102, 8);
    pairing.addBytes(8);
    expect(pairing.takeReady()).toEqual([{ ordinal: 102, offset: 40, length: 8, pts: 1020, key: false }]);
    pairing.addTime(1030, false);
    pairing.addTime(1040, false);
    expect(pairing.takeRest(104)).toEqual([{ ordinal: 103, offset: 48, length: 0, pts: 1030, key: false }]);
    expect(pairing.next).toBe(104);
  });
});
