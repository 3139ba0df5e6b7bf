import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";

const STUDY: Study = {
  ...newStudy(),
  question: "Does open recovery beat close recovery over 30 m?",
  lane: { distance: 30, unit: "m", gates: [0, 15, 30], gateBeam: "single", start: "standing" },
  skaters: [{ id: "aino", name: "Aino", code: "S1", body: { hipHeight: 0.82 } }],
  techniques: [
    { id: "close", name: "close recovery", asked: [{ quantity: "touchdown_to_track_midline_m", max: 0.1 }] },
    { id: "open", name: "open recovery", asked: [{ quantity: "touchdown_to_track_midline_m", min: 0.2 }] },
  ],
  trials: [
    {
      id: "t1",
      skater: "aino",
      technique: "close",
      repeat: 1,
      order: 1,
      time: 4.71,
      valid: true,
      clip: "c1",
      speedFactor: 1,
    },
    {
      id: "t2",
      skater: "aino",
      technique: "open",
      repeat: 1,
      order: 2,
      time: null,
      valid: true,
      speedFactor: 8,
    },
  ],
  clips: [{ id: "c1", name: "aino 1.mp4", path: "clips/aino-1.mp4", bytes: 12 }],
  worthwhile: 0.04,
  compare: { a: "close", b: "open" },
};

const MARKS: TrialMarks = {
  ...emptyMarks("t1"),
  picture: { clip: "c1", width: 1920, height: 1080, frameInterval: 1 / 60 },
  iceReference: { kind: "ice-points", points: [{ label: "a", xPx: 1, yPx: 2, x: 0, y: 0 }] },
  events: [{ event: "blade_off", side: "left", frame: 12, time: 0.2 }],
  marks: [{ frame: 12, time: 0.2, point: "blade_heel", side: "left", xPx: 5, yPx: 6 }],
};

/** A camera that moves, and one that stood still and was looked at again. */
const BY_FRAME: TrialMarks = {
  ...MARKS,
  iceReference: {
    kind: "ice-points-by-frame",
    frames: [{ frame: 3, points: [{ label: "a", xPx: 1, yPx: 2, x: 0, y: 0 }] }],
    lens: { k1: -0.1 },
  },
};
const RECHECKED: TrialMarks = {
  ...MARKS,
  iceReference: {
    kind: "ice-points",
    points: [{ label: "a", xPx: 1, yPx: 2, x: 0, y: 0 }],
    rechecks: [{ frame: 99, label: "a", xPx: 1.5, yPx: 2 }],
  },
};

/** As from disk: a copy that may be spoilt. */
// biome-ignore lint/suspicious/noExplicitAny: the point is to put wrong things into it
const copy = (value: unknown): any => JSON.parse(JSON.stringify(value));

function failure(read: () => unknown): MeasureError {
  try {
    read();
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("it was read although it is damaged");
}

describe("parseStudy", () => {
  it("reads back what was written", () => {
    expect(parseStudy(copy(STUDY))).toEqual(STUDY);
    expect(parseStudy(copy(newStudy()))).toEqual(newStudy());
  });

  it("keeps fields it does not know, at every depth", () => {
    const json = copy(STUDY);
    json.rink = "Lake Orrin";
    json.lane.ice = { temperature: -4 };
    json.skaters[0].body.foot = 0.25;
    json.trials[1].weather = ["dull"];
    expect(parseStudy(json)).toEqual(json);
  });

  it.each<[path: string, spoil: (json: ReturnType<typeof copy>) => void]>([
    ["trials[1].time", (s) => (s.trials[1].time = "4.7")],
    ["trials[1].time", (s) => (s.trials[1].time = 0)],
    ["trials[0].repeat", (s) => (s.trials[0].repeat = 1.5)],
    ["trials[0].skater", (s) => (s.trials[0].skater = "nobody")],
    ["trials[0].technique", (s) => (s.trials[0].technique = "nothing")],
    ["trials[0].clip", (s) => (s.trials[0].clip = "gone")],
    ["trials[1].id", (s) => (s.trials[1].id = "t1")],
    ["lane.distance", (s) => delete s.lane.distance],
    ["lane.gates[2]", (s) => (s.lane.gates[2] = 15)],
    ["techniques[1].asked[0].quantity", (s) => (s.techniques[1].asked[0].quantity = "style")],
    ["skaters[0].body.hipHeight", (s) => (s.skaters[0].body.hipHeight = -1)],
    ["compare.b", (s) => (s.compare.b = "x")],
    ["markSdPx", (s) => (s.markSdPx = null)],
    ["trials", (s) => (s.trials = {})],
  ])("names %s when it is wrong", (path, spoil) => {
    const json = copy(STUDY);
    spoil(json);
    const error = failure(() => parseStudy(json));
    expect(error.code).toBe("damaged-document");
    expect(error.coach).toContain(`${path}: `);
  });

  it.each([
    ["a camera that moves", BY_FRAME],
    ["a point marked again", RECHECKED],
  ])("reads back the ice reference of %s", (_, marks) => {
    expect(parseMarks(copy(marks))).toEqual(marks);
  });

  it("does not read a newer version, another format or no object at all", () => {
    expect(failure(() => parseStudy({ ...STUDY, version: 2 })).code).toBe("newer-version");
    expect(failure(() => parseMarks({ ...MARKS, version: 9 })).code).toBe("newer-version");
    for (const json of [null, 3, "study", [], {}, MARKS]) {
      expect(failure(() => parseStudy(json)).code).toBe("not-this-format");
    }
    expect(failure(() => parseStudy({ ...STUDY, version: "1" })).code).toBe("damaged-document");
  });
});

describe("parseMarks", () => {
  it("reads back what was written and keeps fields it does not know", () => {
    const json = copy(MARKS);
    json.marks[0].by = "somebody";
    expect(parseMarks(json)).toEqual(json);
    expect(parseMarks(copy(emptyMarks("t9")))).toEqual(emptyMarks("t9"));
  });

  it.each<[path: string, spoil: (json: ReturnType<typeof copy>) => void]>([
    ["marks[0].xPx", (m) => (m.marks[0].xPx = null)],
    ["marks[0].point", (m) => (m.marks[0].point = "knee")],
    ["events[0].frame", (m) => (m.events[0].frame = -1)],
    ["picture.width", (m) => (m.picture.width = 0)],
    ["iceReference.kind", (m) => (m.iceReference.kind = "guess")],
    ["iceReference.points[0].x", (m) => (m.iceReference.points[0].x = "0")],
  ])("names %s when it is wrong", (path, spoil) => {
    const json = copy(MARKS);
    spoil(json);
    expect(failure(() => parseMarks(json)).message).toContain(`${path}: `);
  });
});

describe("further clips of a trial", () => {
  const [first, second] = STUDY.trials as [Study["trials"][number], Study["trials"][number]];
  const withClips = (clips: unknown) => ({ ...STUDY, trials: [{ ...first, clips }, second] });

  it("are kept as they are, whatever they are for, and a study without any is read as before", () => {
    const clips = [
      { clip: "c1", role: "view", id: "t1-bench", speedFactor: 8 },
      { clip: "c1", role: "clock", frame: 31, shows: 4.75, later: "kept" },
      { clip: "c1", role: "look" },
    ];
    expect(parseStudy(withClips(clips)).trials[0]!.clips).toEqual(clips);
    expect(parseStudy(STUDY).trials[0]!.clips).toBeUndefined();
  });

  it("must be clips of the study, and a view needs an id that no trial and no view has", () => {
    const refused = (clips: unknown) => {
      try {
        parseStudy(withClips(clips));
      } catch (error) {
        return (error as MeasureError).message;
      }
      return "";
    };
    expect(refused([{ clip: "nowhere", role: "look" }])).toMatch(/trials\[0\]\.clips\[0\]\.clip/);
    expect(refused([{ clip: "c1", role: "view" }])).toMatch(/a view needs an id/);
    expect(refused([{ clip: "c1", role: "view", id: "t2" }])).toMatch(/"t2" is already a trial or a view/);
    const twice = { clip: "c1", role: "view", id: "x" };
    expect(refused([twice, twice])).toMatch(/"x" is already a trial or a view/);
    expect(refused([{ clip: "c1", role: "film" }])).not.toBe("");
  });
});

describe("a trial", () => {
  it("is in one camera set-up at most", () => {
    const study = (...of: string[][]) => ({
      ...STUDY,
      setups: of.map((trials, k) => ({
        id: `s${k}`,
        name: `Camera ${k}`,
        trials: trials.map((trial) => ({ trial })),
      })),
    });
    expect(() => parseStudy(study(["t1"], ["t2"]))).not.toThrow();
    expect(() => parseStudy(study(["t1"], ["t2", "t1"]))).toThrow(
      /setups\[1\]\.trials\[1\].*"t1" is already in the set-up "Camera 0"/,
    );
  });
});
