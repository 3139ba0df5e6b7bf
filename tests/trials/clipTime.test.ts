import { describe, expect, it } from "vitest";
import { setGatePassing } from "../../app/commands/marks/setGatePassing.ts";
import { setTime } from "../../app/commands/trials/setTime.ts";
import { setTimedBy } from "../../app/commands/trials/setTimedBy.ts";
import { compareStudy } from "../../src/compare/compareStudy.ts";
import { sharedStudy, withSharedTimes } from "../../src/report/sharedStudy.ts";
import { studyReport } from "../../src/report/studyReport.ts";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { readTimesCsv, timeRows, writeTimesCsv } from "../../src/study/tables.ts";
import type { Trial, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { trialPairing } from "../../src/trials/clipGateTime.ts";
import { clipTime, withClipTimes } from "../../src/trials/clipTime.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { mergeTimes } from "../../src/trials/mergeTimes.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import { near } from "../helpers/near.ts";

const marked = (id: string, rate: number, from: number, to: number): TrialMarks => ({
  ...emptyMarks(id),
  picture: { width: 1280, height: 720, clip: "c", frameInterval: 1 / rate },
  gatePassings: [
    { gate: 0, frame: from, time: from / rate },
    { gate: 30, frame: to, time: to / rate },
  ],
});

/** Two skaters, two techniques, two trials each; by clips of 60 frames a second but for what is typed. */
function evening(typed: readonly number[] = []): WholeStudy {
  const study = newStudy();
  const trials = ["A", "B"].flatMap((skater, s) =>
    ["a", "b", "b", "a"].map((technique, k): Trial => {
      const order = 4 * s + k + 1;
      return {
        ...{
          id: `t${order}`,
          skater,
          technique,
          repeat: k < 2 ? 1 : 2,
          order,
          valid: true,
          clip: "c",
          speedFactor: 1,
        },
        time: typed.includes(order) ? 4.5 + order / 100 : null,
        timedBy: "clip",
      };
    }),
  );
  const frames = [275, 268, 269, 277, 291, 281, 283, 290];
  return {
    study: {
      ...study,
      lane: { ...study.lane, distance: 30, gates: [0, 30], gateBeam: "dual", start: "standing" },
      skaters: ["A", "B"].map((id) => ({ id, name: `Skater ${id}`, code: `S${id}`, body: {} })),
      techniques: ["a", "b"].map((id) => ({ id, name: id, asked: [] })),
      trials,
    },
    marks: Object.fromEntries(trials.map((t, k) => [t.id, marked(t.id, 60, 57, 57 + frames[k]!)])),
  };
}
const first = (whole: WholeStudy) => whole.study.trials[0]!;

describe("a trial's time by its clip", () => {
  // docs/precision.md 7: 60 frames a second, standing start, 14 ms.
  it("is from gate to gate with the ± of its frames and start", () => {
    const found = clipTime(evening(), first(evening()));
    if (found.value === null) throw new Error(found.why);
    near(found.value, 275 / 60, 1e-12);
    near(found.sd, 0.014, 1e-12);
    expect(found.views).toEqual([1]);
  });

  // By hand: at the first gate the front passes 0.25 of a step after frame 56, at the second just in its frame.
  it("takes what the eye says between two frames, at 30 frames a second to 9 ms (docs/precision.md 7: positions read to 3 cm)", () => {
    let whole = evening();
    const slow = marked("t1", 30, 57, 195);
    const lane = { ...whole.study.lane, start: "flying" as const };
    whole = { study: { ...whole.study, lane }, marks: { ...whole.marks, t1: slow } };
    const { picture } = slow;
    for (const [gate, frame, share] of [
      [0, 57, 0.25],
      [30, 195, 1],
    ] as const)
      whole = setGatePassing.run(whole, {
        trial: "t1",
        gate,
        at: { frame, time: frame / 30, share },
        picture: picture!,
      });
    const found = clipTime(whole, first(whole));
    if (found.value === null) throw new Error(found.why);
    near(found.value, (195 - 56.25) / 30, 1e-12);
    near(found.sd, 0.009, 1e-12);
    // One gate alone: half a step less the quarter is left, and its frames' part of the variance stays.
    whole = setGatePassing.run(whole, {
      trial: "t1",
      gate: 30,
      at: { frame: 195, time: 6.5 },
      picture: picture!,
    });
    const one = clipTime(whole, first(whole));
    if (one.value === null) throw new Error(one.why);
    near(one.value, (194.5 - 56.25) / 30, 1e-12);
    near(one.sd, Math.sqrt(0.013 ** 2 - (1 / 12 - 0.15 ** 2) / 900), 1e-12);
  });

  it("is the mean of two views weighed by their frames; what leads at the gates alike is not averaged away", () => {
    const whole = evening();
    const trial: Trial = { ...first(whole), clips: [{ clip: "d", role: "view", id: "t1-side" }] };
    const marks = { ...whole.marks, "t1-side": marked("t1-side", 120, 300, 300 + 549) };
    const found = clipTime({ ...whole, marks }, trial);
    if (found.value === null) throw new Error(found.why);
    // Variances of the frames are as the squares of their steps: 4 to 1.
    near(found.value, (275 / 60 + (4 * 549) / 120) / 5, 1e-12);
    const frames = (rate: number) => 1 / rate / Math.sqrt(6);
    const lead = Math.max(Math.sqrt(0.014 ** 2 - frames(60) ** 2), Math.sqrt(0.013 ** 2 - frames(120) ** 2));
    const both = 1 / Math.sqrt(frames(60) ** -2 + frames(120) ** -2);
    near(found.sd, Math.hypot(both, lead), 1e-12);
    expect(found.views).toEqual([1, 2]);
    const apart = clipTime(
      { ...whole, marks: { ...marks, "t1-side": marked("t1-side", 120, 300, 861) } },
      trial,
    );
    expect(apart).toMatchObject({
      value: null,
      why: expect.stringMatching(/view 1 shows 4\.583 s .* view 2 4\.675 s/),
    });
  });

  it.each([
    ["too few frames a second", marked("t1", 10, 10, 56), /± 0\.0\d s, too coarse to count/],
    ["a speed factor that is wrong", marked("t1", 60, 57, 57 + 4 * 600), /0\.8 m\/s.*speed factor/],
    [
      "one gate only",
      { ...marked("t1", 60, 57, 332), gatePassings: [{ gate: 0, frame: 57, time: 0.95 }] },
      /at 30 m\./,
    ],
  ])("is none with %s, and says why", (_, marks, why) => {
    const whole = evening();
    const found = clipTime({ ...whole, marks: { ...whole.marks, t1: marks } }, first(whole));
    expect(found).toMatchObject({ value: null, why: expect.stringMatching(why) });
  });
});

describe("a study in which clips time trials", () => {
  it("never replaces a photocell time that is typed, and is chosen by a person", () => {
    const whole = setTime.run(evening(), { trial: "t1", text: "4.71" });
    expect(withClipTimes(whole).study.trials[0]).toMatchObject({ time: 4.71 });
    expect(withClipTimes(whole).study.trials[0]!.clipSd).toBeUndefined();
    const not = setTimedBy.run(evening(), { trial: "t1", clip: false });
    expect(withClipTimes(not).study.trials[0]).toMatchObject({ time: null });
    expect(not.study.trials[0]).not.toHaveProperty("timedBy");
    // What is stored is what somebody did: no number of the clip's.
    expect(evening().study.trials[0]!.time).toBeNull();
    const plain = evening([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(withClipTimes(plain)).toBe(plain);
  });

  it("compares with each trial's own ±, and says so", () => {
    const { study } = withClipTimes(evening([2]));
    const c = compareStudy(study, { quantity: "time_s", meanOf: () => null, names: "names" });
    expect(c.clocks).toMatchObject({ byClip: 7, byPhotocells: 1 });
    expect(c.warnings.map((w) => w.code)).toContain("times-by-clips");
  });

  it("holds no clip against the time it gave itself, nor counts it among photocell times", () => {
    const whole = withClipTimes(evening([2]));
    expect(trialPairing(whole, "t1", [])).toBeNull();
    expect(trialPairing(whole, "t2", [])?.text).not.toMatch(/other timed/);
  });

  it("marks it in the report and in the tables", () => {
    const whole = evening([2]);
    const report = studyReport(whole, "names", measuredOnce(whole));
    expect(report.trials[0]).toMatchObject({ time: "4.583 ± 0.027 by clip", byClip: true });
    expect(report.trials[1]).toMatchObject({ time: "4.52", byClip: false });
    expect(report.setting.join(" ")).toMatch(
      /7 of 8 trials are timed by their clips.*no photocells stand behind/,
    );
    const [head, row] = tableFiles(whole, "names", measuredOnce(whole))
      .find((f) => f.name === "trials.csv")!
      .content.split(/\r?\n/);
    const cells = Object.fromEntries(head!.split(",").map((name, k) => [name, row!.split(",")[k]]));
    expect(cells).toMatchObject({ time_s: "4.583", time_from: "clip" });
    near(Number(cells.time_s_u95), 1.96 * 0.014, 1e-4);
  });

  it("keeps it apart in times.csv: read back it gives no photocell time", () => {
    const text = writeTimesCsv(timeRows(withClipTimes(evening([2])).study, "names"));
    const rows = readTimesCsv(text);
    expect(rows[0]).toMatchObject({ time: 4.583, timeU95: 0.0274 });
    expect(rows[1]).not.toHaveProperty("timeU95");
    const merged = mergeTimes({ ...evening([2]).study, clips: [] }, rows);
    expect(merged).toMatchObject({ timed: 0, byClips: 7 });
    expect(merged.study.trials[0]!.time).toBeNull();
    expect(() => readTimesCsv(text.replace("clip,0.0274", "clip,"))).toThrow(/time_from clip and time_s_u95/);
    // Without clips the table is what it was.
    expect(writeTimesCsv(timeRows(evening([1, 2, 3, 4, 5, 6, 7, 8]).study, "names"))).not.toMatch(
      /time_from/,
    );
  });

  it("is given away with its ±, though the marks it came from are not", () => {
    const { study, means } = sharedStudy(evening([2]), measuredOnce(evening([2])));
    const back = withSharedTimes(study, means.trials);
    expect(back.trials[0]).toMatchObject({ time: 4.583, timedBy: "clip" });
    near(back.trials[0]!.clipSd!, 0.014, 1e-12);
    expect(back.trials[1]).toMatchObject({ time: 4.52 });
    expect(back.trials[1]!.clipSd).toBeUndefined();
  });
});
