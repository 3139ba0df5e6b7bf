import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { Unmeasurable } from "../../src/kinematics/quantities/unmeasurable.ts";
import { sprintCurve } from "../../src/kinematics/speed/sprintCurve.ts";
import { Sources } from "../../src/uncertainty/uncertain.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

const scipy = JSON.parse(readFileSync(new URL("../reference/signals.json", import.meta.url), "utf8")).sprint;

/** Exact mean speeds of v(t) = 9 (1 − exp(−(t − 0.3)/1.4)) over stretches; the closed form, written here again. */
const [TOP, TAU, START] = [9, 1.4, 0.3];
const place = (t: number) => TOP * (t - START + TAU * Math.exp(-(t - START) / TAU) - TAU);
const STRETCHES = [0.5, 0.9, 1.3, 1.7, 2.1, 2.5, 2.9, 3.3, 3.7].map((from) => {
  const to = from + 0.7;
  return { from, to, speed: (place(to) - place(from)) / (to - from) };
});

function fitted(u: number, noise: () => number) {
  const s = new Sources();
  return sprintCurve(STRETCHES.map((k) => ({ ...k, speed: s.add(k.speed + u * noise(), u) })));
}

function why(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (error instanceof Unmeasurable) return error.why;
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("sprint curve", () => {
  it("agrees with SciPy's curve_fit: values and uncertainties", () => {
    const s = new Sources();
    const { start, end, speed, u } = scipy as Record<"start" | "end" | "speed" | "u", number[]>;
    const fit = sprintCurve(start.map((from, k) => ({ from, to: end[k]!, speed: s.add(speed[k]!, u[k]!) })));
    expect(fit.top.value).toBeCloseTo(scipy.vmax, 6);
    expect(fit.tau.value).toBeCloseTo(scipy.tau, 6);
    expect(fit.top.u).toBeCloseTo(scipy.uVmax, 6);
    expect(fit.tau.u).toBeCloseTo(scipy.uTau, 6);
  });

  it("finds the curve the speeds were made from, though each is a mean over 0.7 s", () => {
    const { top, tau, start, misfit } = fitted(0.05, () => 0);
    expect(top.value).toBeCloseTo(TOP, 6);
    expect(tau.value).toBeCloseTo(TAU, 6);
    expect(start.value).toBeCloseTo(START, 6);
    expect(misfit).toBeLessThan(1e-5);
  });

  it("holds the truth in about 95 of 100 noisy sprints", () => {
    const random = seeded(6);
    let held = 0;
    for (let run = 0; run < 400; run++) {
      const { top } = fitted(0.06, () => normal(random));
      if (Math.abs(top.value - TOP) <= top.u95) held++;
    }
    expect(held / 400).toBeGreaterThan(0.92);
    expect(held / 400).toBeLessThan(0.98);
  });

  it("is refused with few speeds, a steady speed, or speeds that are no such curve", () => {
    const s = new Sources();
    const with_ = (speeds: readonly number[]) => () =>
      sprintCurve(speeds.map((v, k) => ({ from: 0.3 * k, to: 0.3 * k + 0.6, speed: s.add(v, 0.05) })));
    expect(why(with_([3, 5, 6, 7]))).toContain("5 along-track speeds");
    expect(why(with_([7, 7.02, 6.98, 7.01, 6.99, 7]))).toContain("does not change");
    expect(why(with_([3, 8, 4, 9, 5, 8, 4]))).toMatch(/do not follow such a curve|does not change/);
  });
});

describe("sprint curve of a trial", () => {
  const skater = simulateSkater({
    ...ORDINARY,
    strides: 11,
    startX: 0.5,
    travelled: (t) => place(t + START),
  });
  const trial = (from: readonly [number, number, number], aim: readonly [number, number], hfov: number) => {
    const { input } = filmedTrial(skater, {
      ...{ camera: pinhole(from, aim, hfov), fps: 120, zone: [1, 24] as const, noisePx: 0.5, slips: 0 },
      ...{ random: seeded(11), statedSdPx: 0.5 },
    });
    return measureTrial({ ...input, gates: [4, 9, 60] });
  };

  it("is had from the side, with the speed at the gates", () => {
    const { sprint, gateSpeeds } = trial([11, -16, 5], [11, 0], 80);
    if ("why" in sprint) throw new Error(sprint.why);
    const { top, tau } = sprint;
    if (top.value === null || tau.value === null) throw new Error("values expected");
    expect(Math.abs(top.value - TOP)).toBeLessThan(top.u95);
    expect(Math.abs(tau.value - TAU)).toBeLessThan(tau.u95);
    const [near, far, beyond] = gateSpeeds.map((g) => g.speed);
    if (near!.value === null || far!.value === null) throw new Error("speeds expected");
    // The leg's own motion moves a blade point by up to half a metre from the hips, which is where the closed form is.
    const speedAt = (x: number) => {
      let t = START;
      while (0.5 + place(t + START) < x) t += 0.001;
      return TOP * (1 - Math.exp(-t / TAU));
    };
    expect(Math.abs(near!.value - speedAt(4.3))).toBeLessThan(0.7);
    expect(Math.abs(far!.value - speedAt(9.3))).toBeLessThan(0.5);
    expect(far!.value).toBeGreaterThan(near!.value);
    expect(beyond).toMatchObject({ value: null, why: expect.stringContaining("60 m") });
  });

  it("is refused along the axis, saying from where to film", () => {
    const { sprint } = trial([32, 0.4, 4], [10, 0], 65);
    expect(sprint).toMatchObject({
      value: null,
      why: expect.stringMatching(/along the travel|5 along-track speeds/),
    });
  });
});
