import { describe, expect, it } from "vitest";
import { anchoring, anchoringWords } from "../../src/marks/anchoring.ts";
import type { Mark } from "../../src/study/types.ts";
import { normal, seeded } from "../helpers/random.ts";

/** Marks of one hand, of SD 1 px, on blades suggested with an error of `errs` px, drawn to what it sees by a known share. */
function marked(seed: number, errs: number, drawn: number, rows: number): Mark[] {
  const random = seeded(seed);
  const pair = (sd: number) => [sd * normal(random), sd * normal(random)] as const;
  return Array.from({ length: rows }, (_, frame) => frame).flatMap((frame) => {
    const blind = frame % 8 === 3;
    const ends = (["blade_heel", "blade_toe"] as const).map((point) => ({
      point,
      s: pair(errs),
      h: pair(1),
    }));
    // The eye sees what lies beside the point half as badly as the hand puts it.
    const seemsWrong = ends.some(({ s, h }) => Math.hypot(s[0] - 0.5 * h[0], s[1] - 0.5 * h[1]) > 3);
    return ends.map(({ point, s, h }): Mark => {
      const put = blind ? h : seemsWrong ? ([0, 1] as const).map((k) => h[k] + drawn * (s[k] - h[k])) : s;
      return {
        ...{ frame, time: frame / 60, point, side: "left", xPx: put[0]!, yPx: put[1]! },
        from: blind ? "hand" : seemsWrong ? "moved" : "accepted",
        suggested: {
          ...{ xPx: s[0], yPx: s[1], uPx: 1, by: "template", model: "m", templates: [] },
          ...(blind ? { blind } : {}),
        },
      };
    });
  });
}

const TRIALS = 24;

describe("how much a hand is drawn to what it sees", () => {
  it.each([
    [0, 2.2],
    [0.2, 2.2],
    [0.5, 2.2],
    [0.2, 3.3],
  ])("is found again: %f of the way, suggestions off by %f px", (drawn, errs) => {
    const found = Array.from({ length: TRIALS }, (_, k) =>
      anchoring([marked(k + 1, errs, drawn, 160)], "blades"),
    );
    const all = found.filter((f) => f !== null);
    expect(all).toHaveLength(TRIALS);
    const mean = all.reduce((sum, f) => sum + f.share, 0) / TRIALS;
    expect(Math.abs(mean - drawn)).toBeLessThan(0.06);
    const held = all.filter((f) => f.low <= drawn && drawn <= f.high).length;
    // 95 asked for of 100; of 24, with percentiles of few blind checks, 19 or more.
    expect(held).toBeGreaterThanOrEqual(19);
  });

  it("is not told from one trial, and said to be unknown", () => {
    const one = marked(1, 2.2, 0.5, 21);
    expect(anchoring([one], "blades")).toBeNull();
    expect(anchoringWords([one])).toContain("can't be told yet");
    expect(anchoringWords([one.map(({ from: _, suggested: __, ...m }) => m)])).toBeNull();
  });

  it("is told from several trials together, with its interval", () => {
    const eight = Array.from({ length: 8 }, (_, k) => marked(50 + k, 2.2, 0.5, 21));
    const words = anchoringWords(eight)!;
    expect(words).toMatch(/blades \d+ % \(95 % interval \d+ to \d+ %, \d+ moved, 24 blind checks\)/);
    const { low } = anchoring(eight, "blades")!;
    expect(low).toBeGreaterThan(0);
    expect(words).not.toContain("hips");
  });
});
