import { describe, expect, it } from "vitest";
import type { Limb } from "../../sample-clips/make/body.ts";
import { ALL_CLIPS } from "../../sample-clips/make/evenings.ts";
import { makeRun, type Run } from "../../sample-clips/make/run.ts";
import { dot, length, mid, sub, unit } from "../../sample-clips/make/vec.ts";

// Laws that a skater's motion must keep whatever its numbers; no value here comes from the generator.

/** Two cameras may film one run. */
const specs = [...new Map(ALL_CLIPS.map((c) => [c.run.name, c.run])).values()];
const runs = specs.map((spec) => [spec.name, makeRun(spec)] as const);
const moments = (run: Run, step: number) =>
  Array.from({ length: Math.floor(run.end / step) }, (_, i) => i * step);
const limbs = (run: Run, t: number): Limb[] => [run.poseAt(t).left, run.poseAt(t).right];

describe.each(runs)("%s", (_, run) => {
  const { stature } = run.spec.person;

  it("keeps bones and runners at their lengths", () => {
    for (const t of moments(run, 0.05)) {
      for (const limb of limbs(run, t)) {
        // Fractions of stature: Drillis & Contini 1966, in Winter 2009, Fig. 4.1 [read, 2nd-hand].
        expect(length(sub(limb.elbow, limb.shoulder))).toBeCloseTo(0.186 * stature, 9);
        expect(length(sub(limb.wrist, limb.elbow))).toBeCloseTo(0.146 * stature, 9);
        expect(length(sub(limb.knee, limb.hip))).toBeCloseTo(0.245 * stature, 9);
        // The shank gives by up to 2 cm where a push is at the leg's full length.
        expect(Math.abs(length(sub(limb.ankle, limb.knee)) - 0.246 * stature)).toBeLessThan(0.02);
        expect(length(sub(limb.toe, limb.heel))).toBeCloseTo(0.28, 9);
      }
    }
  });

  it("never puts a blade under the ice, and keeps the toe of a gliding blade on it", () => {
    for (const t of moments(run, 0.01)) {
      for (const limb of limbs(run, t)) {
        expect(Math.min(limb.heel[2], limb.toe[2])).toBeGreaterThanOrEqual(0);
        if (limb.onIce) expect(limb.toe[2]).toBe(0);
        if (limb.onIce) expect(limb.heel[2]).toBeLessThan(0.012);
      }
    }
  });

  it("moves each blade without a jump", () => {
    const h = 1e-4;
    for (const t of moments(run, 0.01)) {
      const [a, b] = [limbs(run, t), limbs(run, t + h)];
      for (const side of [0, 1]) {
        const move = length(sub(mid(b[side]!.heel, b[side]!.toe), mid(a[side]!.heel, a[side]!.toe)));
        // Nothing on a skater at 9 m/s moves at more than 16 m/s.
        expect(move / h).toBeLessThan(16);
      }
    }
  });

  it("lets a blade at speed slip sideways by no more than a little", () => {
    const h = 1e-4;
    for (const p of run.pushes.filter((x) => x.index > 3 && x.off < run.end - h)) {
      for (const share of [0.02, 0.25, 0.5, 0.75, 0.98]) {
        const t = p.on + share * (p.off - p.on);
        const [a, b] = [t - h, t + h].map((at) => limbs(run, at)[p.sign > 0 ? 0 : 1]!);
        const [dx, dy] = [
          b!.toe[0] - a!.toe[0] + b!.heel[0] - a!.heel[0],
          b!.toe[1] - a!.toe[1] + b!.heel[1] - a!.heel[1],
        ];
        const path = Math.atan2(p.sign * dy, dx);
        const blade = Math.atan2(p.sign * (a!.toe[1] - a!.heel[1]), a!.toe[0] - a!.heel[0]);
        expect(Math.abs(path - blade)).toBeLessThan((6 * Math.PI) / 180);
        expect(blade).toBeGreaterThan(0);
        expect(blade).toBeLessThan((40 * Math.PI) / 180);
      }
    }
  });

  it("passes the gates in the time it was made for, to 0.03 s, pushing alternately", () => {
    const [start, finish] = run.gateTimes;
    expect(Math.abs(finish! - start! - run.spec.gateTime)).toBeLessThan(0.03);
    run.pushes.slice(1).forEach((p, i) => {
      expect(p.sign).toBe(-run.pushes[i]!.sign);
      expect(p.off).toBeGreaterThan(run.pushes[i]!.off);
    });
  });

  it("turns each wrist back at the extremes it names, front and back in turn", () => {
    const h = 1e-3;
    const reach = (t: number, sign: number) => {
      const limb = limbs(run, t)[sign > 0 ? 0 : 1]!;
      return sub(limb.wrist, limb.shoulder);
    };
    for (const sign of [1, -1]) {
      const own = run.armExtremes.filter((e) => e.sign === sign && e.time < run.end - 0.1);
      expect(own.length).toBeGreaterThan(8);
      own.slice(1).forEach((e, i) => {
        const before = own[i]!;
        expect(e.event).not.toBe(before.event);
        const swept = sub(reach(e.time, sign), reach(before.time, sign));
        const along = (t: number) => dot(sub(reach(t, sign), reach(before.time, sign)), unit(swept));
        const speed = (t: number) => (along(t + h) - along(t - h)) / (2 * h);
        // A wrist that turns back stands still along its own swing: half-way it goes at several metres a second.
        expect(Math.abs(speed(e.time))).toBeLessThan(0.25);
        expect(speed((before.time + e.time) / 2)).toBeGreaterThan(0.6);
      });
    }
  });
});
