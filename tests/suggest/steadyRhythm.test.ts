import { describe, expect, it } from "vitest";
import { type Placed, SteadyRhythm } from "../../src/suggest/steadyRhythm.ts";
import type { Lessons } from "../../src/suggest/taught.ts";
import { normal, seeded } from "../helpers/random.ts";

const CYCLE = 40;
const KINDS = [
  { event: "blade_off", side: "left", share: 0 },
  { event: "blade_off", side: "right", share: 0.52 },
  { event: "blade_on", side: "left", share: 0.41 },
  { event: "blade_on", side: "right", share: 0.9 },
] as const;
const CYCLES = 7;

interface Drawn {
  readonly found: Placed[];
  /** In which frame, and parts of it, each of `found` really was. */
  readonly really: number[];
  readonly lessons: Lessons[];
}

/**
 * A skater drawn without anything of `src`: pushes follow each other with a scatter, the last two cycles are confirmed, and limbs have
 * each earlier contact too early or late by itself and all of a kind by the same.
 */
function drawn(seed: number, pushes: number, limbs: number): Drawn {
  const random = seeded(seed);
  const cycles: number[] = [];
  for (let k = 0, at = 30; k <= CYCLES; k++, at += CYCLE + Math.SQRT2 * pushes * normal(random))
    cycles.push(at);
  const [found, really]: [Placed[], number[]] = [[], []];
  const lessons = KINDS.map(({ event, side, share }): Lessons => {
    const alike = (limbs / Math.SQRT2) * normal(random);
    const at = cycles.slice(0, -1).map((from, k) => from + share * (cycles[k + 1]! - from));
    for (const moment of at.slice(0, -2)) {
      found.push({ event, side, frame: Math.round(moment + alike + limbs * normal(random)) });
      really.push(moment);
    }
    const all = at.slice(-2).map((m) => ({ frame: Math.round(m), marks: [], byHand: true }));
    return { event, side, all };
  });
  return { found, really, lessons };
}

const steadyOf = ({ found, lessons }: Drawn) =>
  new SteadyRhythm(found, lessons, { cycle: CYCLE, realInterval: 1 / 60 });

const within = (off: readonly number[], frames: number) =>
  off.filter((d) => Math.abs(d) <= frames).length / off.length;

function over(seeds: number, pushes: number, limbs: number) {
  const [before, after]: [number[], number[]] = [[], []];
  for (let seed = 1; seed <= seeds; seed++) {
    const world = drawn(seed, pushes, limbs);
    const steady = steadyOf(world);
    world.found.forEach((f, i) => {
      before.push(f.frame - world.really[i]!);
      after.push(Math.round(steady.frameOf(f)) - world.really[i]!);
    });
  }
  return { before, after };
}

describe("contacts on one clock", () => {
  // 20 ms are 1.2 frames at 60 a second.
  it("lie nearer to where they were than limbs 20 ms off have them", () => {
    const { before, after } = over(14, 0.3, 1.2);
    expect(within(before, 1.5)).toBeLessThan(0.8);
    expect(within(after, 1.5)).toBeGreaterThan(0.9);
  });

  it("even if pushes vary by 5 in 100", () => {
    const { before, after } = over(14, 1, 1.2);
    expect(within(after, 1.5)).toBeGreaterThan(within(before, 1.5));
  });

  it("are left where limbs show them, however unsteady the pushes are", () => {
    const { before, after } = over(14, 1.5, 0);
    expect(within(before, 0.5)).toBe(1);
    expect(within(after, 1)).toBeGreaterThan(0.97);
  });

  it("are not drawn along by one that limbs have six frames off, and it comes back", () => {
    for (let seed = 1; seed <= 10; seed++) {
      const world = drawn(seed, 0.3, 0.3);
      const lone = 3 + seed;
      const wrong = world.found.map((f, i) => (i === lone ? { ...f, frame: f.frame + 6 } : f));
      const steady = steadyOf({ ...world, found: wrong });
      wrong.forEach((f, i) => {
        const off = steady.frameOf(f) - world.really[i]!;
        expect(Math.abs(off), `seed ${seed}, event ${i}`).toBeLessThan(i === lone ? 2 : 1.5);
      });
    }
  });

  it("lie the same about each other a thousand frames later", () => {
    const world = drawn(3, 0.5, 1);
    const later = <T extends { readonly frame: number }>(e: T): T => ({ ...e, frame: e.frame + 1000 });
    const steady = steadyOf(world);
    const moved = steadyOf({
      ...world,
      found: world.found.map(later),
      lessons: world.lessons.map((l) => ({ ...l, all: l.all.map(later) })),
    });
    for (const f of world.found) expect(moved.frameOf(later(f))).toBeCloseTo(steady.frameOf(f) + 1000, 3);
  });

  it("do not hold what is no contact: where the blade is nearest stays where limbs have it", () => {
    const world = drawn(5, 0.3, 1.2);
    const nearest = { event: "recovery_min", side: "left", frame: 77 } as const;
    const lessons: Lessons[] = [
      ...world.lessons,
      { event: "recovery_min", side: "left", all: [{ frame: 240, marks: [], byHand: true }] },
    ];
    const steady = steadyOf({ ...world, lessons, found: [...world.found, nearest] });
    expect(steady.frameOf(nearest)).toBe(77);
  });

  it("tell a confirmed one that is left out as if it had never been picked", () => {
    const off: number[] = [];
    for (let seed = 1; seed <= 20; seed++) {
      const world = drawn(seed, 0.3, 1.2);
      const steady = steadyOf(world);
      const random = seeded(100 + seed);
      for (const { event, side, all } of world.lessons) {
        const { frame } = all[0]!;
        off.push(steady.leftOut({ event, side, frame }, frame + 1.5 * normal(random)) - frame);
      }
    }
    // Limbs alone would be within a frame and a half in 68 of 100 (normal, SD 1.5).
    expect(within(off, 1.5)).toBeGreaterThan(0.85);
    expect(within(off, 0.01)).toBeLessThan(0.2);
  });
});
