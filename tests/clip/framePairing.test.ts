import { describe, expect, it } from "vitest";
import { FramePairing } from "../../electron/clip/framePairing.ts";

describe("binding JPEGs to frames", () => {
  it("waits for time, packet and bytes, in whatever order they come", () => {
    const pairing = new FramePairing(0, 0);
    pairing.addBytes(15);
    expect(pairing.takeReady()).toEqual([]);
    pairing.addPacket(0, 10);
    expect(pairing.takeReady()).toEqual([]);
    pairing.addTime(700);
    expect(pairing.takeReady()).toEqual([{ offset: 0, length: 10, pts: 700 }]);
    pairing.addTime(733);
    pairing.addPacket(1, 6);
    expect(pairing.takeReady()).toEqual([]);
    pairing.addBytes(1);
    expect(pairing.takeReady()).toEqual([{ offset: 10, length: 6, pts: 733 }]);
    expect(pairing.takeRest()).toEqual([]);
  });

  it("leaves a hole where a picture never came, and shifts no neighbour", () => {
    const pairing = new FramePairing(0, 0);
    for (const pts of [0, 100, 250, 300]) pairing.addTime(pts);
    pairing.addPacket(0, 5);
    pairing.addPacket(2, 7);
    pairing.addBytes(12);
    expect(pairing.takeReady()).toEqual([
      { offset: 0, length: 5, pts: 0 },
      { offset: 5, length: 0, pts: 100 },
      { offset: 5, length: 7, pts: 250 },
    ]);
    expect(pairing.takeRest()).toEqual([{ offset: 12, length: 0, pts: 300 }]);
  });

  it("goes on after the frames of an earlier run", () => {
    const pairing = new FramePairing(2, 40);
    for (const pts of [0, 1, 2, 3]) pairing.addTime(pts);
    pairing.addPacket(2, 8);
    pairing.addBytes(8);
    expect(pairing.takeReady()).toEqual([{ offset: 40, length: 8, pts: 2 }]);
  });
});
