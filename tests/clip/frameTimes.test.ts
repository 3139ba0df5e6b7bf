import { describe, expect, it } from "vitest";
import { clipWarnings, frameTimes } from "../../electron/clip/store/frameTimes.ts";

const codes = (warnings: readonly { code: string }[]) => warnings.map((w) => w.code);

describe("frame times", () => {
  it("starts at 0 and keeps integer times exact", () => {
    // 240 frames a second in ticks of 1/90000 s begins anywhere: 375 ticks a frame.
    const { times, rateMedianHz, variableRate, warnings } = frameTimes([126375, 126750, 127125], {
      num: 1,
      den: 90000,
    });
    expect(times).toEqual([0, 375 / 90000, 750 / 90000]);
    expect(rateMedianHz).toBeCloseTo(240, 9);
    expect({ variableRate, warnings }).toEqual({ variableRate: false, warnings: [] });
  });

  it("does not take rounding to the container's ticks for a variable rate", () => {
    // 30 frames a second in milliseconds: 0, 33, 67, 100 ...
    const pts = Array.from({ length: 60 }, (_, n) => Math.round((n * 1000) / 30));
    expect(frameTimes(pts, { num: 1, den: 1000 }).variableRate).toBe(false);
  });

  it("notices one frame that the camera left out", () => {
    const pts = [0, 1, 2, 3, 5, 6, 7, 8].map((n) => n * 3000);
    const { variableRate, warnings, rateMedianHz } = frameTimes(pts, { num: 1, den: 90000 });
    expect(variableRate).toBe(true);
    expect(codes(warnings)).toEqual(["uneven-times"]);
    expect(warnings[0]?.text).toMatch(/33\.3 to 66\.7 ms/);
    expect(rateMedianHz).toBeCloseTo(30, 9);
  });

  it("warns of times that stand still or run backward, naming the frames, and does not mend them", () => {
    const { times, warnings } = frameTimes([0, 10, 10, 30, 20], { num: 1, den: 1000 });
    expect(times).toEqual([0, 0.01, 0.01, 0.03, 0.02]);
    expect(codes(warnings)).toContain("times-not-increasing");
    expect(warnings.find((w) => w.code === "times-not-increasing")?.text).toMatch(/frames 2, 4\./);
  });

  it("says which frames have no time of their own", () => {
    const { times, warnings } = frameTimes([0, 40, null, 120], { num: 1, den: 1000 });
    expect(times).toEqual([0, 0.04, 0.08, 0.12]);
    expect(codes(warnings)).toEqual(["times-missing"]);
    expect(warnings[0]?.text).toMatch(/frame 2;/);
  });

  it("counts back from the first time there is", () => {
    const { times, warnings } = frameTimes([null, null, 100, 140, 180], { num: 1, den: 1000 });
    expect(times).toEqual([0, 0.04, 0.08, 0.12, 0.16]);
    expect(codes(warnings)).toEqual(["times-missing"]);
  });

  it("knows no rate of one frame, and nothing of none", () => {
    expect(frameTimes([5], { num: 1, den: 25 })).toMatchObject({
      times: [0],
      rateMedianHz: null,
      variableRate: false,
    });
    expect(frameTimes([], { num: 1, den: 25 })).toMatchObject({ times: [], rateMedianHz: null });
  });
});

describe("what is odd about a clip", () => {
  const facts = {
    ...{ container: "mov" as const, transfer: "", interlaced: false },
    ...{ rotation: 0 as const, mirrored: false, lasts: 10 },
  };
  const plain = {
    ...{ facts, problems: [], doubtful: [], count: 299, known: 299, lastTime: 298 / 30, rateMedianHz: 30 },
    ...{ begins: 0, packets: { shown: 299, discarded: 0, untimed: 0, codec: "h264" } },
  };

  it("has nothing to say of an ordinary clip whose sound is a little longer", () => {
    expect(clipWarnings(plain)).toEqual([]);
  });

  it("says that frames end before the file's stated end, once the end was reached", () => {
    const packets = { shown: 150, discarded: 0, untimed: 0, codec: "h264" };
    const short = { ...plain, packets, count: 150, known: 150, lastTime: 149 / 30 };
    const [warning, ...more] = clipWarnings(short);
    expect(more).toEqual([]);
    expect(warning?.code).toBe("ends-early");
    expect(warning?.text).toMatch(/10\.00 s.*5\.00 s \(150 frames\)/);
    expect(clipWarnings({ ...short, count: null })).toEqual([]);
  });

  it("counts the end from where the picture begins, not the sound", () => {
    const packets = { shown: 285, discarded: 0, untimed: 0, codec: "h264" };
    const late = { ...plain, packets, count: 285, known: 285, lastTime: 284 / 30, begins: 0.5 };
    expect(clipWarnings(late)).toEqual([]);
    expect(clipWarnings({ ...late, begins: 0 }).map((w) => w.code)).toEqual([]);
    expect(clipWarnings({ ...late, begins: -0.5 }).map((w) => w.code)).toEqual(["ends-early"]);
  });

  it("does not miss what an edit list hides, but what is missing beside it", () => {
    // 35 frames of 50 are shown, 15 hidden; the file states the length of all 50, or twice that.
    const packets = { shown: 35, discarded: 15, untimed: 0, codec: "h264" };
    const cut = { ...plain, packets, count: 35, known: 35, lastTime: 34 / 30 };
    const lasting = (s: number) => clipWarnings({ ...cut, facts: { ...facts, lasts: s } });
    expect(lasting(50 / 30).map((w) => w.code)).toEqual(["discarded-frames"]);
    expect(lasting(100 / 30).map((w) => w.code)).toEqual(["discarded-frames", "ends-early"]);
  });

  it("says what an edit list hides and what could not be decoded", () => {
    const found = clipWarnings({
      ...plain,
      packets: { shown: 302, discarded: 15, untimed: 3, codec: "h264" },
    });
    expect(found.map((w) => w.code)).toEqual(["times-not-in-file", "discarded-frames", "frames-missing"]);
    expect(found[1]?.text).toMatch(/15 more frames/);
    expect(found[2]?.text).toMatch(/302 pictures, but only 299 could be decoded; 3 are missing/);
  });

  it("does not take a stated rate for measured times", () => {
    const [warning] = clipWarnings({ ...plain, facts: { ...facts, container: "avi" } });
    expect(warning).toMatchObject({ code: "no-times", text: expect.stringMatching(/30 frames a second/) });
  });

  it("names the frames on which nothing can be marked", () => {
    const problems = [{ nearFrame: 40, text: "error while decoding MB 3 4" }];
    const [warning] = clipWarnings({
      ...plain,
      problems,
      doubtful: [
        [40, 60],
        [80, 81],
      ],
    });
    expect(warning?.text).toMatch(/error while decoding MB 3 4.*frames 40 to 59, 80 /);
  });
});
