import { describe, expect, it } from "vitest";
import { setTrialPart } from "../../app/commands/clips/setTrialPart.ts";
import {
  around,
  belongs,
  cells,
  runAt,
  runFrom,
  withEnd,
} from "../../app/places/measure/clip/part/stripView.ts";
import { MeasureError } from "../../src/errors.ts";
import type { ClipLink, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { clipTimeText, readClipTime } from "../../src/time/clipTime.ts";
import { trialWithSameClip } from "../../src/trials/sameClip.ts";
import { MARKS, STUDY } from "../helpers/studyFolder.ts";

describe("a moment of a clip", () => {
  // Clock arithmetic: h x 3600 + m x 60 + s.
  it.each([
    ["1:41", 101],
    ["1:41,5", 101.5],
    ["0:07.25", 7.25],
    ["95 s", 95],
    ["95", 95],
    ["95,5", 95.5],
    ["1:02:03", 3723],
    ["75:10", 4510],
  ])("%s is %f s, and is read back as it is written", (text, seconds) => {
    expect(readClipTime(text)).toBe(seconds);
    expect(readClipTime(clipTimeText(seconds))).toBe(seconds);
  });

  it.each(["", "1:75", "1:2:75", "1:70:00", "-3", "one", "1:41:", "1.41.2"])("%s is none", (text) => {
    expect(() => readClipTime(text)).toThrow(MeasureError);
  });

  it("is written in minutes and seconds", () => {
    expect([0, 7.256, 59.999, 101, 101.5, 3723].map(clipTimeText)).toEqual([
      "0:00",
      "0:07.26",
      "1:00",
      "1:41",
      "1:41.5",
      "1:02:03",
    ]);
  });
});

describe("a strip", () => {
  it("has cells that fill its span, each with the moment in its middle", () => {
    const row = cells({ from: 10, to: 70 }, 610);
    expect(row).toHaveLength(6);
    expect([row[0]?.from, row[0]?.at, row.at(-1)?.to]).toEqual([10, 15, 70]);
    for (const [i, cell] of row.slice(1).entries()) expect(cell.from).toBeCloseTo(row[i]!.to, 9);
  });

  it("shows no picture that is of another part of the film", () => {
    const cell = { from: 60, to: 70, at: 65 };
    expect(belongs(cell, 64.1)).toBe(true);
    expect(belongs(cell, 52)).toBe(true);
    expect(belongs(cell, 0)).toBe(false);
    expect(belongs(cell, null)).toBe(false);
  });

  it("never leaves the film, and its ends change places where they pass", () => {
    for (const at of [0, 3, 599, 600]) {
      const run = runAt(at, 600);
      expect(run.from).toBeGreaterThanOrEqual(0);
      expect(run.to).toBeLessThanOrEqual(600);
      expect(run.from <= at && at <= run.to).toBe(true);
      const near = around(run, 600);
      expect(near.from <= run.from && near.to >= run.to && near.from >= 0 && near.to <= 600).toBe(true);
    }
    expect(withEnd({ from: 10, to: 16 }, "from", 20, 600)).toEqual({ from: 16, to: 20 });
    expect(withEnd({ from: 10, to: 16 }, "to", 700, 600)).toEqual({ from: 10, to: 600 });
    expect(runFrom("from", 50, 70).from).toBe(50);
    expect(runFrom("to", 54, 70).to).toBe(54);
  });
});

describe("one film for several trials", () => {
  const film: ClipLink = {
    ...{ id: "clip-1", name: "evening.mp4", path: "clips/evening.mp4", bytes: 9, sha256: "ab" },
  };
  const whole = (
    clip: (trial: string) => string | undefined,
    marks: Record<string, TrialMarks> = {},
  ): WholeStudy => ({
    study: {
      ...STUDY,
      clips: [film],
      trials: STUDY.trials.map((t) => ({
        ...t,
        ...(clip(t.id) !== undefined && { clip: clip(t.id) as string }),
      })),
    },
    marks,
  });
  const part = (first: number, last: number) => ({ first, last });

  it("gives each trial its own part of the same file, and no two are the same film then", () => {
    const one = setTrialPart.run(
      whole((t) => (t === "t1" ? "clip-1" : undefined)),
      {
        ...{ trial: "t1", clip: "clip-1", part: part(100, 200) },
      },
    );
    const both = setTrialPart.run(one, { trial: "t2", clip: "clip-1", part: part(300, 400) });
    expect(both.study.clips).toEqual([
      { ...film, part: part(100, 200) },
      { ...film, id: "clip-1-part-2", part: part(300, 400) },
    ]);
    expect(both.study.trials.map((t) => t.clip)).toEqual(["clip-1", "clip-1-part-2"]);
    expect(trialWithSameClip(both.study, "t1")).toBeNull();
    const moved = setTrialPart.run(both, { trial: "t2", clip: "clip-1", part: part(310, 410) });
    expect(moved.study.clips[1]).toEqual({ ...film, id: "clip-1-part-2", part: part(310, 410) });
    expect(moved.study.clips[0]?.part, "the other trial's stays").toEqual(part(100, 200));
  });

  it("parts a film that two trials shared whole; marks stay with theirs and must lie in the part", () => {
    const marked: TrialMarks = {
      ...MARKS,
      picture: { clip: "clip-1", width: 1920, height: 1080, frameInterval: 1 / 60 },
    };
    const shared = whole(() => "clip-1", { t1: marked });
    const apart = setTrialPart.run(shared, { trial: "t1", clip: "clip-1", part: part(0, 50) });
    expect(apart.study.trials.map((t) => t.clip)).toEqual(["clip-1-part-2", "clip-1"]);
    expect(apart.marks.t1).toEqual({ ...marked, picture: { ...marked.picture, clip: "clip-1-part-2" } });
    expect(() => setTrialPart.run(shared, { trial: "t1", clip: "clip-1", part: part(20, 50) })).toThrow(
      expect.objectContaining({ code: "part-leaves-out-marks" }),
    );
  });

  it("does not take another clip's place", () => {
    const other = { ...film, id: "clip-9", name: "other.mp4", path: "clips/other.mp4", sha256: "cd" };
    const study = whole((t) => (t === "t1" ? "clip-9" : undefined));
    const both = { ...study, study: { ...study.study, clips: [film, other] } };
    expect(() => setTrialPart.run(both, { trial: "t1", clip: "clip-1", part: part(0, 9) })).toThrow(
      expect.objectContaining({ code: "has-another-clip" }),
    );
  });
});
