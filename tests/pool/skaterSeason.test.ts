import { describe, expect, it } from "vitest";
import { skaterJson } from "../../src/pool/skaterJson.ts";
import { dayNumber, skaterSeason, trend, trendWords } from "../../src/pool/skaterSeason.ts";
import { STUDY } from "../helpers/studyFolder.ts";

const evening = (date: string | null, ...values: number[]) => ({
  study: date ?? "no date",
  date,
  values: values.map((value) => ({ value, left: null, right: null })),
});
const sized = (v: number, u95: number) => `${v.toFixed(3)} s ± ${u95.toFixed(3)}`;

describe("a skater's change through a season", () => {
  // R: summary(lm(y ~ I(day/30), means of evenings)): slope -0.0306122449, standard error 0.0172462061, qt(.975, 2) of it 0.0742044359.
  it("is, of as many trials each evening, the line through the evenings' means", () => {
    const found = trend([
      evening("2027-01-01", 5.1, 5.14),
      evening("2027-01-31", 5.02, 5.0),
      evening("2027-03-17", 5.05, 5.07),
      evening("2027-05-01", 4.93, 4.99),
    ]);
    if (found.value === null) throw new Error(found.why);
    expect(found.value).toBeCloseTo(-0.0306122449, 8);
    expect(found.u95).toBeCloseTo(0.0742044359, 6);
    expect([found.df, found.clear]).toEqual([2, false]);
  });

  // R: nlme 3.1, lme(y ~ I(day/30), random = ~1 | day, method = "REML"): slope -0.01982481, standard error 0.01253445; qt(.975, 3).
  it("is nlme's where evenings have unlike numbers of trials", () => {
    const found = trend([
      evening("2027-01-01", 5.1, 5.14, 5.08),
      evening("2027-01-31", 5.0),
      evening("2027-03-17", 5.05, 5.09),
      evening("2027-05-01", 4.93, 4.99),
      evening("2027-05-31", 5.01),
    ]);
    if (found.value === null) throw new Error(found.why);
    expect(found.value).toBeCloseTo(-0.01982481, 6);
    expect(found.u95).toBeCloseTo(0.0398902, 5);
  });

  it("is told where it is clear, and not from two evenings or without dates", () => {
    const clear = trend([
      evening("2027-01-01", 5.2, 5.21),
      evening("2027-01-31", 5.1, 5.11),
      evening("2027-03-02", 5.0, 5.012),
      evening("2027-04-01", 4.9, 4.91),
    ]);
    const of = (t: typeof clear) => trendWords({ quantity: "time_s", trend: t } as never, sized);
    expect(of(clear)).toMatch(/^faster: -0\.10\d s ± /);
    expect(of(trend([evening("2027-01-01", 5.2), evening("2027-02-01", 5.1)]))).toContain("three evenings");
    expect(of(trend([evening(null, 5.2), evening("2027-02-01", 5.1), evening("2027-03-01", 5)]))).toContain(
      "no date",
    );
  });

  it("takes her by her code in each study, her own trials only, void ones left out, and judges since by her repeats", () => {
    const of = (name: string, date: string, times: number[], other: number) => ({
      name,
      date,
      study: {
        ...STUDY,
        skaters: [...STUDY.skaters, { id: "x", name: "Bea", code: "B1", body: {} }],
        trials: [...times, other, 9].map((time, k) => ({
          ...STUDY.trials[0]!,
          ...{ id: `t${k}`, time, skater: time === other ? "x" : "aino", valid: time !== 9 },
        })),
      },
      ofTrial: (t: { time: number | null }, q: string) =>
        q === "time_s" && t.time !== null ? { value: t.time, left: null, right: null } : null,
    });
    const found = skaterSeason(
      [of("late", "2027-02-01", [5.0, 5.04], 6), of("early", "2027-01-01", [5.1, 5.12], 6)],
      "A1",
    );
    expect(found).toHaveLength(1);
    expect(found[0]!.evenings.map((e) => [e.study, e.n])).toEqual([
      ["early", 2],
      ["late", 2],
    ]);
    // By hand: SD of one trial sqrt((0.02^2 + 0.04^2) / 2 / 2) = 0.02236; t of 2 degrees of freedom 4.302653 (R: qt(.975, 2)).
    expect(found[0]!.since).toMatchObject({
      value: expect.closeTo(-0.09, 12),
      u95: expect.closeTo(4.302653 * Math.sqrt(0.0005), 6),
    });
    // The same typical error over the square root of two trials.
    for (const { u95 } of found[0]!.evenings) expect(u95).toBeCloseTo(4.302653 * Math.sqrt(0.00025), 6);
    expect(found[0]!.best!.study).toBe("late");
    // Trials that are all alike tell nothing of scatter, two of an evening or three.
    for (const n of [2, 3]) {
      const evenings = [5.04, 5.13].map((t, k) => of(`${k}`, `2027-0${k + 1}-01`, Array(n).fill(t), 6));
      const [alike] = skaterSeason(evenings, "A1");
      expect(alike!.since).toMatchObject({ value: null, why: expect.stringContaining("exactly alike") });
      expect(alike!.evenings.map((e) => e.u95)).toEqual([null, null]);
    }
    const named = (name: string, skater: string) => {
      const evening = of(name, "2027-03-01", [5, 5.1], 6);
      const skaters = [{ ...STUDY.skaters[0]!, name: skater }];
      return { ...evening, study: { ...evening.study, skaters } };
    };
    const warned = (...evenings: Parameters<typeof skaterJson>[1]) =>
      skaterJson("A1", evenings, []).warnings.map((w) => w.text);
    expect(warned(named("x", "Aino"), named("y", "Aino"))).toEqual([]);
    expect(warned(named("x", "Aino"), named("y", "Bea"))).toEqual([
      expect.stringMatching(/^A1 has different names(?!.*(Aino|Bea))/),
    ]);
    expect(warned(named("x", "Aino"), { ...named("y", ""), nameless: true })).toEqual([
      expect.stringContaining("Shared without names: y."),
    ]);
    expect(skaterSeason([of("late", "2027-02-01", [5], 6)], "Z")).toEqual([]);
  });

  it("counts days as the calendar does, over leap years and centuries", () => {
    const start = Date.UTC(2027, 0, 1);
    for (let k = -60_000; k < 60_000; k += 37) {
      const date = new Date(start + k * 86_400_000).toISOString().slice(0, 10);
      expect(dayNumber(date)! - dayNumber("2027-01-01")!, date).toBe(k);
    }
    expect([dayNumber("soon"), dayNumber(null)]).toEqual([null, null]);
  });
});
