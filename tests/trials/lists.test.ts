import { describe, expect, it } from "vitest";
import { newStudy } from "../../src/study/newStudy.ts";
import type { Study, Trial } from "../../src/study/types.ts";
import { proposeClips } from "../../src/trials/proposeClips.ts";
import { suspiciousTimes } from "../../src/trials/suspiciousTimes.ts";

function study(times: readonly (number | null)[], change: (trial: Trial) => Trial = (t) => t): Study {
  const techniques = ["close", "open"];
  return {
    ...newStudy(),
    lane: { ...newStudy().lane, distance: 30 },
    skaters: [
      { id: "s1", name: "Aino", code: "S1", body: {} },
      { id: "s2", name: "Bea", code: "S2", body: {} },
    ],
    techniques: techniques.map((id) => ({ id, name: `${id} recovery`, asked: [] })),
    trials: times.map((time, i) =>
      change({
        id: `t${i + 1}`,
        skater: i < 4 ? "s1" : "s2",
        technique: techniques[i % 2]!,
        repeat: 1 + (Math.floor(i / 2) % 2),
        order: i + 1,
        time,
        valid: true,
        speedFactor: 1,
      }),
    ),
  };
}

describe("suspiciousTimes", () => {
  it("asks about nothing when nothing stands out", () => {
    expect(suspiciousTimes(study([4.71, 4.5, 4.52, 4.69, null]))).toEqual([]);
  });

  it("asks about two digits swapped, and says which", () => {
    const doubts = suspiciousTimes(study([4.71, 7.49, 4.52, 4.69]));
    expect(doubts).toHaveLength(1);
    expect(doubts[0]?.trial).toBe("t2");
    expect(doubts[0]?.question).toContain("4.79");
  });

  it("asks about a time far from everybody's before a skater has times of their own", () => {
    const doubts = suspiciousTimes(study([4.71, null, null, null, 4.5, 8.47]));
    expect(doubts.map((d) => d.trial)).toEqual(["t6"]);
    expect(doubts[0]?.question).toMatch(/^The other times are around 4\.6/);
  });

  it("asks about a time typed twice and a speed nobody skates", () => {
    expect(suspiciousTimes(study([4.71, 4.71])).map((d) => d.trial)).toEqual(["t2"]);
    expect(suspiciousTimes(study([0.48])).map((d) => d.question)).toEqual([
      expect.stringContaining("62.5 m/s"),
    ]);
    expect(suspiciousTimes(study([471]))).toHaveLength(1);
  });
});

describe("proposeClips", () => {
  it("goes by the name where it says skater, technique and repeat, in any order", () => {
    const files = ["Bea_open_1.MP4", "2 close aino.mov", "S1-open-1.mp4"];
    const proposals = proposeClips(study(Array(8).fill(null)), files);
    expect(proposals.map((p) => p.trial)).toEqual(["t6", "t3", "t2"]);
    expect(new Set(proposals.map((p) => p.because))).toEqual(new Set(["its name"]));
  });

  it("goes by order otherwise: 2 before 10, trials without a clip in run order", () => {
    const trials = study([null, null, null], (t) => (t.id === "t1" ? { ...t, clip: "c" } : t));
    const proposals = proposeClips(trials, ["IMG_10.MOV", "IMG_2.MOV", "IMG_30.MOV"]);
    expect(proposals.map((p) => p.trial)).toEqual(["t3", "t2", null]);
    expect(proposals[2]?.because).toBe("nothing");
  });

  it("goes by when files were recorded, where that is told apart from when they were copied", () => {
    const trials = study([null, null, null]);
    const names = ["c.mov", "a.mov", "b.mov"];
    const by = (recorded: (number | null)[]) => proposeClips(trials, names, recorded);
    // Recorded c, b, a, a minute apart.
    expect(by([100, 220, 160]).map((p) => p.trial)).toEqual(["t1", "t3", "t2"]);
    expect(by([100, 220, 160])[0]?.because).toBe("when it was recorded");
    // Copied together, or one unknown: names again.
    for (const recorded of [
      [100, 100.4, 101],
      [100, null, 160],
    ]) {
      expect(by(recorded).map((p) => p.trial)).toEqual(["t3", "t1", "t2"]);
      expect(by(recorded)[0]?.because).toBe("the order");
    }
  });

  it("never gives one trial two files", () => {
    const proposals = proposeClips(study(Array(8).fill(null)), ["aino open 1.mp4", "aino open 1 (2).mp4"]);
    const trials = proposals.map((p) => p.trial);
    expect(new Set(trials).size).toBe(2);
  });
});
