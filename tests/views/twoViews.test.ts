import { beforeAll, describe, expect, it } from "vitest";
import { rowOf } from "../validate/tally.ts";
import { measureAll, type ViewsDocument } from "../validate/views/driveViews.ts";
import { type FamilyResult, filmPair, PAIRS, runPair } from "../validate/views/family.ts";
import { exchangedSides, lateEvent, misplacedBlade, wrongScale } from "../validate/views/faults.ts";
import type { FilmedView, FilmedViews } from "../validate/views/filmViews.ts";
import { judgeViews } from "../validate/views/judgeViews.ts";

/*
 * A share of `npm run validate -- --views`: skaters unlike the core's beliefs before two cameras at once, by the independent
 * forward model of tests/validate. What is asked stands in docs/precision.md 12.
 */

const people = (n: number) => Array.from({ length: n }, (_, who) => who);
const [FRONT_AND_BENCH] = PAIRS;
const SILENT = PAIRS.find(({ without }) => without === "limbs and answers")!;

describe("two views of simulated skaters", () => {
  let found: FamilyResult;
  beforeAll(() => {
    found = runPair(FRONT_AND_BENCH!, people(9));
  }, 120_000);

  it("are tied, to within the ± of their offset", () => {
    expect(found.tied).toBe(9);
    expect(found.offsets).toBeGreaterThanOrEqual(7);
  });

  it("hold the truth about as often as they say", () => {
    const sums = [...found.both].filter(([name]) => !/^(first|mean) /.test(name)).map(([, s]) => s);
    const [given, covered] = [sums.reduce((n, s) => n + s.given, 0), sums.reduce((n, s) => n + s.covered, 0)];
    expect(given).toBeGreaterThan(400);
    // Of 400 to 600 values that share marks and skaters; 93 to 98 in 100 are asked of the whole family.
    expect(covered / given).toBeGreaterThan(0.92);
    expect(covered / given).toBeLessThan(0.99);
  });

  it("are never less sure than one of them, and gain what was found for stride length", () => {
    expect(found.compared).toBeGreaterThan(700);
    expect(found.wider / found.compared).toBeLessThan(0.002);
    const [both, front] = [found.both, found.alone[0]].map((t) => rowOf(t.get("stride_length_m")!).u95);
    // 13.5 to 9.4 cm in the study of the issue: 0.70; 15 % more are allowed.
    expect(both! / front!).toBeLessThan(0.8);
  });

  it("are not told to disagree where nothing is wrong", () => {
    expect(found.disagree).toBeLessThanOrEqual(1);
  });
});

describe("arms by two views", () => {
  it("need no lengths and no answers: direction within 3°, angle within 2.4°, 15 % more allowed", () => {
    const { both, alone } = runPair(SILENT, people(7));
    const [direction, angle] = ["arm_swing_direction_deg", "arm_swing_angle_deg"].map((q) =>
      rowOf(both.get(q)!),
    );
    expect(direction!.n).toBeGreaterThan(35);
    expect(direction!.sd).toBeLessThan(3 * 1.15);
    expect(angle!.sd).toBeLessThan(2.4 * 1.15);
    // Neither view gives any for itself.
    expect(alone.map((t) => t.get("arm_swing_direction_deg")!.given)).toEqual([0, 0]);
  }, 120_000);
});

describe("one view with a mistake", () => {
  const filmed = people(3).map((who) => filmPair(FRONT_AND_BENCH!, who)!);
  const withFault = (
    which: 0 | 1,
    fault: (view: FilmedView, push: number, film: FilmedViews) => FilmedView,
  ) =>
    filmed.map(({ film, body }) => {
      const shared = [...film.views[0]!.picked.keys()].filter((k) => film.views[1]!.picked.has(k));
      const push = shared[1]!;
      const views = film.views.map((view, v) => (v === which ? fault(view, push, film) : view));
      const said = measureAll({ ...film, views }, body);
      return { said: typeof said === "string" ? null : said, push, film };
    });
  const told = (said: ViewsDocument | null) =>
    said === null
      ? []
      : said.warnings.filter(({ code }) => code === "views-disagree").map(({ text }) => text);

  it.each([0, 1] as const)("says that a scale is wrong and shows no distance: view %i", (which) => {
    for (const { said } of withFault(which, (view) => wrongScale(view, 1.05))) {
      expect(told(said).join()).toMatch(
        /all points alike, so one of the two scales is wrong.*frame \d+ of view 1 and frame \d+ of view 2/,
      );
      expect(said!.strides.map((s) => s.stride_width_m!.value)).toEqual(said!.strides.map(() => null));
      expect(said!.strides.every((s) => s.recovery_time_s!.value !== null)).toBe(true);
    }
  });

  it.each([0, 1] as const)("says whose sides are exchanged, and does not use them: view %i", (which) => {
    for (const { said, film, push } of withFault(which, (view, push) => exchangedSides(view, push))) {
      const frame = film.views[which]!.picked.get(push)!.off;
      expect(told(said).join()).toContain(`the blade-off in frame`);
      expect(told(said).join()).toMatch(new RegExp(`frame ${frame} of view ${which + 1}`));
      expect(told(said).join()).toContain(`what view ${which + 1} shows there is not used`);
      for (const stride of said!.strides) {
        if (stride.stride_width_m!.value !== null) expect(stride.stride_width_m!.value).toBeGreaterThan(0);
      }
    }
  });

  it("names a blade that one view has 60 px aside, with frames and how far", () => {
    for (const { said, film, push } of withFault(0, (view, push, film) =>
      misplacedBlade(view, push, film.skater.pushes[push]!.foot, 60),
    )) {
      const { foot } = film.skater.pushes[push]!;
      const frames = film.views
        .map((v, k) => `frame ${v.picked.get(push)!.off} of view ${k + 1}`)
        .join(" and ");
      expect(told(said).join()).toContain(`the ${foot} blade at the blade-off`);
      expect(told(said).join()).toMatch(new RegExp(`${frames} put it \\d+ cm apart`));
    }
  });

  // From the bench alone no half width is had, and what both give rests on its blade all the same. Skater 50's bench view, at 30
  // frames a second, has a blade-off one frame late: told apart, and 38 cm wrong in the half width that was shown.
  it("shows no half width that rests on a blade the views disagree about", () => {
    const late = filmPair(FRONT_AND_BENCH!, 50)!;
    const trials = [
      { film: late.film, said: measureAll(late.film, late.body) as ViewsDocument },
      ...withFault(1, (view, push, film) => misplacedBlade(view, push, film.skater.pushes[push]!.foot, 90)),
    ];
    for (const { film, said } of trials) {
      expect(told(said).join()).toMatch(/disagree about/);
      const halves = judgeViews(film, film.views, said!).filter(
        ({ quantity }) => quantity === "half_width_m",
      );
      expect(halves.some(({ error }) => error !== null)).toBe(true);
      for (const { error, u95 } of halves)
        if (error !== null) expect(Math.abs(error)).toBeLessThan(1.5 * u95);
    }
  });

  it("names a blade-off that one view has far too late", () => {
    for (const { said, film, push } of withFault(0, (view, push) => lateEvent(view, push, 8))) {
      const frame = film.views[0]!.picked.get(push)!.off + 8;
      expect(told(said).join()).toMatch(
        new RegExp(`disagree about when .* frame ${frame} of view 1 .* ms apart`),
      );
    }
  });
});
