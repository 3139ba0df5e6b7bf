import { describe, expect, it } from "vitest";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { demoStudy, truthOfTrial } from "./demoFiles.ts";

const whole = demoStudy();
const { study, marks } = whole;

describe("the demo study", () => {
  it("is read by the product's own readers without a change", () => {
    expect(parseStudy(JSON.parse(JSON.stringify(study)))).toEqual(study);
    for (const one of Object.values(marks)) expect(parseMarks(JSON.parse(JSON.stringify(one)))).toEqual(one);
  });

  it("has five skaters, two techniques, two repeats of each pair, all timed", () => {
    expect(study.skaters.map((s) => s.code)).toEqual(["S1", "S2", "S3", "S4", "S5"]);
    expect(study.trials).toHaveLength(20);
    for (const s of study.skaters) {
      for (const t of study.techniques) {
        const own = study.trials.filter((x) => x.skater === s.id && x.technique === t.id);
        expect(own.map((x) => x.repeat).sort()).toEqual([1, 2]);
        expect(own.every((x) => x.valid && x.time !== null && x.time > 4 && x.time < 5.1)).toBe(true);
      }
    }
  });

  it("runs each skater in the order ABBA or BAAB, both in use, orders 1 to 20 once each", () => {
    const orders = study.skaters.map((s) =>
      study.trials
        .filter((t) => t.skater === s.id)
        .sort((a, b) => a.order - b.order)
        .map((t) => (t.technique === "close" ? "A" : "B"))
        .join(""),
    );
    expect(new Set(orders)).toEqual(new Set(["ABBA", "BAAB"]));
    expect(study.trials.map((t) => t.order).sort((a, b) => a - b)).toEqual(
      Array.from({ length: 20 }, (_, i) => i + 1),
    );
  });

  it("links thirteen clips, one of them slow motion, and leaves one trial for a newcomer", () => {
    const linked = study.trials.filter((t) => t.clip);
    expect(linked).toHaveLength(13);
    expect(new Set(linked.map((t) => t.clip))).toEqual(new Set(study.clips.map((c) => c.id)));
    expect(linked.filter((t) => t.speedFactor === 8)).toHaveLength(1);
    expect(linked.filter((t) => !marks[t.id]).map((t) => t.id)).toEqual(["signe-open-1"]);
  });

  it("keeps every ice point and mark within the picture, and every mark on a picked frame", () => {
    for (const one of Object.values(marks)) {
      const { width, height } = one.picture!;
      const points = one.iceReference?.kind === "ice-points" ? one.iceReference.points : [];
      expect(points.length).toBeGreaterThanOrEqual(6);
      for (const p of [...points, ...one.marks]) {
        expect(p.xPx).toBeGreaterThan(0);
        expect(p.xPx).toBeLessThan(width - 1);
        expect(p.yPx).toBeGreaterThan(0);
        expect(p.yPx).toBeLessThan(height - 1);
      }
      const frames = new Set(one.events.map((e) => e.frame));
      for (const m of one.marks) expect(frames.has(m.frame)).toBe(true);
    }
  });

  it("scatters the marks by about 1.2 px around the truth", () => {
    const errors = Object.entries(marks).flatMap(([trial, one]) => {
      const truth = truthOfTrial(whole, trial);
      return one.marks.flatMap((m) => {
        const exact = truth.events
          .find((e) => e.frame === m.frame)
          ?.points.find((p) => p.point === m.point && p.side === m.side);
        return exact ? [m.xPx - exact.x_px, m.yPx - exact.y_px] : [];
      });
    });
    expect(errors.length).toBeGreaterThan(3000);
    const sd = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    // The generator's own setting; the SD of 3,000 draws is within 4 % of it 99.8 % of the time [computed: 1/sqrt(2 n)].
    expect(Math.abs(sd / 1.2 - 1)).toBeLessThan(0.04);
  });
});
