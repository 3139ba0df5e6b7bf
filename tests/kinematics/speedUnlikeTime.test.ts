import { expect, it } from "vitest";
import type { GateSprint, Stride } from "../../src/kinematics/types.ts";
import { speedUnlikeTime } from "../../src/kinematics/warnings/speedUnlikeTime.ts";

/** A sprint v = vmax (1 − exp(−t/τ)), gone through in steps of a millisecond. */
function sprint(top: number, tau: number, gates: readonly [number, number], from = 0) {
  let [t, x] = [from, 0];
  const passed: number[] = [];
  const speedAt = new Map<number, number>();
  while (x < gates[1]) {
    const speed = top * (1 - Math.exp(-t / tau));
    for (const gate of gates) if (x <= gate && x + speed / 1000 > gate) passed.push(t);
    speedAt.set(Math.floor(x), speed);
    x += speed / 1000;
    t += 0.001;
  }
  return { seconds: passed[1]! - passed[0]!, speedAt: (place: number) => speedAt.get(place)! };
}

const strides = (speed: number, x: number): Stride[] =>
  [-2, 0, 2].map(
    (dx) =>
      ({ off: { x: x + dx, y: 0, ux: 0.1, uy: 0.1 }, alongTrackSpeed: { value: speed, u95: 0.1 } }) as Stride,
  );
const told = (speed: number, x: number, timed: GateSprint | undefined) =>
  speedUnlikeTime(strides(speed, x), timed).map((w) => w.code);

it("tells a speed along the lane that no sprint with the photocells' time has there, and no other", () => {
  for (const [top, tau] of [
    [7, 0.5],
    [8.5, 1.2],
    [10.5, 2],
  ] as const) {
    const { seconds, speedAt } = sprint(top, tau, [0.3, 30]);
    for (const start of ["standing", "not said"] as const)
      for (const x of [3, 8, 15, 26]) {
        const timed = { seconds, gates: [0.3, 30], start, byLook: true } as const;
        expect(told(speedAt(x), x, timed)).toEqual([]);
        if (x < 8) continue;
        expect(told(0.5 * speedAt(x), x, timed)).toEqual(["speed-unlike-time"]);
        expect(told(2 * speedAt(x), x, timed)).toEqual(["speed-unlike-time"]);
      }
  }
  const flying = { seconds: 2.5, gates: [10, 30], start: "flying", byLook: true } as const;
  expect([8, 5, 12].map((speed) => told(speed, 20, flying).length)).toEqual([0, 1, 1]);
  expect(told(4, 20, undefined)).toEqual([]);
  expect(told(1, 40, flying)).toEqual([]);
});
