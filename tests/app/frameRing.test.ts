import { describe, expect, it } from "vitest";
import { nearestFrame, ringCapacity, ringOrder } from "../../app/picture/frameRing.ts";

const upTo = (ready: number) => ({ ranges: [[0, ready]] as const, likely: [] });

describe("the ring of decoded frames", () => {
  it("fits its memory: thirty 1080p frames, a dozen at 4K, and never more than half a gigabyte", () => {
    // 256 MB / (1920 * 1080 * 4 bytes) = 30.9; 256 MB / (3840 * 2160 * 4) = 7.7, 480 MB / … = 14.5 (closed form)
    expect(ringCapacity(1920, 1080)).toBe(30);
    expect(ringCapacity(3840, 2160)).toBe(12);
    expect(ringCapacity(320, 240)).toBe(60);
    expect(ringCapacity(7680, 4320)).toBe(3);
    expect(ringCapacity(0, 0)).toBe(2);
    for (const [w, h] of [
      [640, 360],
      [1280, 720],
      [2704, 1520],
      [5120, 2880],
      [7680, 4320],
    ] as const)
      expect(ringCapacity(w, h) * w * h * 4).toBeLessThan(512e6);
  });

  it("wants the current frame first and looks ahead twice as far as back", () => {
    const forward = ringOrder({ wanted: 100, direction: 1, stride: 1, capacity: 10, ...upTo(1000) });
    expect(forward[0]).toBe(100);
    expect([...forward].sort((a, b) => a - b)).toEqual([97, 98, 99, 100, 101, 102, 103, 104, 105, 106]);
    const backward = ringOrder({ wanted: 100, direction: -1, stride: 1, capacity: 10, ...upTo(1000) });
    expect([...backward].sort((a, b) => a - b)).toEqual([94, 95, 96, 97, 98, 99, 100, 101, 102, 103]);
  });

  it("asks for nothing before the first and beyond the last ready frame", () => {
    expect(ringOrder({ wanted: 1, direction: -1, stride: 1, capacity: 10, ...upTo(3) })).toEqual([1, 0, 2]);
    expect(ringOrder({ wanted: 50, direction: 1, stride: 1, capacity: 4, ...upTo(10) })[0]).toBe(9);
    expect(ringOrder({ wanted: 50, direction: 1, stride: 1, capacity: 4, ...upTo(0) })).toEqual([]);
  });

  it("has the next steps of ten ready first when one travels by ten, and still no more than fits", () => {
    const order = ringOrder({ wanted: 100, direction: -1, stride: 10, capacity: 10, ...upTo(1000) });
    expect(order.slice(0, 6)).toEqual([100, 90, 80, 70, 60, 99]);
    expect(order).toHaveLength(10);
    expect(new Set(order).size).toBe(10);
  });

  it("keeps event frames near at hand, and lets them take a quarter of the room at most", () => {
    const wish = { wanted: 100, direction: 1, stride: 1, capacity: 12, ranges: [[0, 1000]] } as const;
    const one = ringOrder({ ...wish, likely: [400] });
    for (const frame of [399, 400, 401]) expect(one).toContain(frame);
    expect(one).toHaveLength(12);
    const many = ringOrder({ ...wish, likely: [400, 300, 500, 200, 600, 5000] });
    expect(many.filter((f) => f > 150)).toEqual([400, 300, 500]);
    // The next step comes before any of them.
    expect(many.indexOf(101)).toBeLessThan(many.indexOf(400));
  });

  it("takes frames prepared after a jump, and the nearest of either side while there is a gap", () => {
    const wish = {
      direction: 1,
      stride: 1,
      capacity: 6,
      ranges: [
        [0, 50],
        [200, 210],
      ],
      likely: [],
    } as const;
    expect(ringOrder({ ...wish, wanted: 205 })[0]).toBe(205);
    expect(ringOrder({ ...wish, wanted: 60 })[0]).toBe(49);
    expect(ringOrder({ ...wish, wanted: 190 })[0]).toBe(200);
    expect(ringOrder({ ...wish, wanted: 49 })).toEqual([49, 48]);
  });

  it("shows the wanted frame or the nearest", () => {
    expect(nearestFrame([3, 9, 12], 9)).toBe(9);
    expect(nearestFrame([3, 9, 12], 11)).toBe(12);
    expect(nearestFrame([], 11)).toBeNull();
  });
});
