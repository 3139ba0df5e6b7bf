import { describe, expect, it } from "vitest";
import { confirmIceReference } from "../../app/commands/ice/confirmIceReference.ts";
import { icePointsOn } from "../../app/commands/ice/icePoints.ts";
import { putOnLine } from "../../app/commands/ice/putOnLine.ts";
import { recheckIcePoint } from "../../app/commands/ice/recheckIcePoint.ts";
import { removeIcePoint } from "../../app/commands/ice/removeIcePoint.ts";
import { removeKnownLength } from "../../app/commands/ice/removeKnownLength.ts";
import { removeLine } from "../../app/commands/ice/removeLine.ts";
import { removeRechecks } from "../../app/commands/ice/removeRechecks.ts";
import { setCameraMoves } from "../../app/commands/ice/setCameraMoves.ts";
import { setIcePoint } from "../../app/commands/ice/setIcePoint.ts";
import { setKnownLength } from "../../app/commands/ice/setKnownLength.ts";
import { setLens } from "../../app/commands/ice/setLens.ts";
import { setReadout } from "../../app/commands/ice/setReadout.ts";
import { NO_TOOL, type Tool } from "../../app/places/measure/core/tool.ts";
import { readLens } from "../../app/places/measure/scale/LensField.tsx";
import { scaleAdvice } from "../../app/places/measure/scale/scaleAdvice.ts";
import { candidates } from "../../app/places/measure/scale/scaleCandidates.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { bareStudy, icePoint, marksWith, PICTURE, refusal } from "./fakeStudy.ts";

const withPointA = () =>
  setIcePoint.run(bareStudy(), { trial: "t1", frame: 0, point: icePoint("A", 1, 1), picture: PICTURE });

it("a readout time is said of a camera that moves, and taken back", () => {
  const frames = [{ frame: 3, points: [icePoint("A", 1, 1)] }];
  const moving = {
    ...bareStudy(),
    marks: { t1: marksWith({ iceReference: { kind: "ice-points-by-frame", frames } }) },
  };
  const said = setReadout.run(moving, { trial: "t1", share: 0.6 });
  expect(said.marks.t1?.iceReference).toMatchObject({ frames, readoutShare: 0.6 });
  expect(setReadout.run(said, { trial: "t1", share: null })).toEqual(moving);
  expect(refusal(() => setReadout.run(withPointA(), { trial: "t1", share: 0.6 })).code).toBe("no-ice-points");
});

describe("ice points", () => {
  it("are put once a label and move when put again", () => {
    const one = withPointA();
    const two = setIcePoint.run(one, { trial: "t1", frame: 0, point: icePoint("B", 2, 1), picture: PICTURE });
    const moved = setIcePoint.run(two, {
      trial: "t1",
      frame: 0,
      point: icePoint("A", 1, 1, 140),
      picture: PICTURE,
    });
    expect(moved.marks.t1?.iceReference).toEqual({
      kind: "ice-points",
      points: [
        { ...icePoint("A", 1, 1, 140), frame: 0 },
        { ...icePoint("B", 2, 1), frame: 0 },
      ],
    });
  });

  it("say on which frame they were put last", () => {
    const later = setIcePoint.run(withPointA(), {
      ...{ trial: "t1", frame: 12, point: icePoint("A", 1, 1, 150), picture: PICTURE },
    });
    expect(later.marks.t1?.iceReference).toMatchObject({ points: [{ label: "A", xPx: 150, frame: 12 }] });
  });

  it("refuse two names for one place, a place outside the picture, and no name", () => {
    const one = withPointA();
    const put = (p: IcePoint) => () =>
      setIcePoint.run(one, { trial: "t1", frame: 0, point: p, picture: PICTURE });
    expect(refusal(put(icePoint("A again", 1, 1, 300))).coach).toMatch(/^"A" already stands for that place/);
    expect(refusal(put(icePoint("C", 3, 3, 5000))).code).toBe("outside-picture");
    expect(refusal(put(icePoint(" ", 3, 3))).code).toBe("no-label");
  });

  it("take the reference with them when the last one goes", () => {
    const one = withPointA();
    expect(removeIcePoint.run(one, { trial: "t1", frame: 0, label: "A" }).marks.t1?.iceReference).toBeNull();
    expect(removeIcePoint.run(one, { trial: "t1", frame: 0, label: "Z" })).toBe(one);
  });

  it("keep the lens they came with", () => {
    const reference = { kind: "ice-points", points: [icePoint("A", 1, 1)], lens: { k1: -0.05 } } as const;
    const before = { ...bareStudy(), marks: { t1: marksWith({ iceReference: reference }) } };
    const after = setIcePoint.run(before, {
      trial: "t1",
      frame: 0,
      point: icePoint("B", 2, 1),
      picture: PICTURE,
    });
    expect(after.marks.t1?.iceReference).toMatchObject({ lens: { k1: -0.05 } });
  });
});

describe("straight lines", () => {
  const put = (line: number | null, xPx: number) => ({
    ...{ trial: "t1", line, at: { xPx, yPx: 40 }, frame: 7, picture: PICTURE },
  });

  it("are begun, gone on with and removed, and leave nothing behind", () => {
    const one = putOnLine.run(putOnLine.run(bareStudy(), put(null, 100)), put(0, 200));
    const two = putOnLine.run(one, put(null, 300));
    expect(two.marks.t1?.straightLines).toEqual([
      {
        frame: 7,
        points: [
          { xPx: 100, yPx: 40 },
          { xPx: 200, yPx: 40 },
        ],
      },
      { frame: 7, points: [{ xPx: 300, yPx: 40 }] },
    ]);
    const left = removeLine.run(two, { trial: "t1", line: 0 });
    expect(left.marks.t1?.straightLines).toHaveLength(1);
    expect(removeLine.run(left, { trial: "t1", line: 5 })).toBe(left);
    expect(removeLine.run(left, { trial: "t1", line: 0 }).marks.t1).not.toHaveProperty("straightLines");
  });

  it("refuse a point outside the picture", () => {
    expect(refusal(() => putOnLine.run(bareStudy(), put(null, 9000))).code).toBe("outside-picture");
  });
});

describe("known lengths", () => {
  const length = { x1Px: 100, y1Px: 500, x2Px: 400, y2Px: 505, length: 3 };
  const args = { trial: "t1", index: null, length, picture: PICTURE };

  it("are added, replaced and removed", () => {
    const one = setKnownLength.run(bareStudy(), args);
    const two = setKnownLength.run(one, { ...args, length: { ...length, y1Px: 700, y2Px: 705 } });
    const changed = setKnownLength.run(two, { ...args, index: 0, length: { ...length, length: 3.05 } });
    expect(changed.marks.t1?.iceReference).toMatchObject({ lengths: [{ length: 3.05 }, { y1Px: 700 }] });
    const left = removeKnownLength.run(changed, { trial: "t1", index: 0 });
    expect(left.marks.t1?.iceReference).toMatchObject({ lengths: [{ y1Px: 700 }] });
    expect(removeKnownLength.run(left, { trial: "t1", index: 0 }).marks.t1?.iceReference).toBeNull();
  });

  it("refuse no length and two ends on one spot", () => {
    const put = (change: object) => () =>
      setKnownLength.run(bareStudy(), { ...args, length: { ...length, ...change } });
    expect(refusal(put({ length: 0 })).code).toBe("bad-length");
    expect(refusal(put({ length: Number.NaN })).code).toBe("bad-length");
    expect(refusal(put({ x2Px: 103, y2Px: 502 })).code).toBe("ends-together");
  });
});

describe("a camera that moves", () => {
  const trial = "t1";
  const picture = PICTURE;
  const moving = () => {
    const still = setIcePoint.run(bareStudy(), { trial, frame: 7, point: icePoint("A", 1, 1), picture });
    return setCameraMoves.run(still, { trial, moves: true, frame: 7, picture });
  };

  it("keeps the points of the frame looked at, and from then on every frame has its own", () => {
    const two = setIcePoint.run(moving(), { trial, frame: 30, point: icePoint("A", 1, 1, 700), picture });
    expect(two.marks.t1?.iceReference).toEqual({
      kind: "ice-points-by-frame",
      frames: [
        { frame: 7, points: [icePoint("A", 1, 1)] },
        { frame: 30, points: [icePoint("A", 1, 1, 700)] },
      ],
    });
    const one = removeIcePoint.run(two, { trial, frame: 7, label: "A" });
    expect(icePointsOn(one.marks.t1?.iceReference ?? null, 7)).toEqual([]);
    expect(icePointsOn(one.marks.t1?.iceReference ?? null, 30)).toHaveLength(1);
    const back = setCameraMoves.run(two, { trial, moves: false, frame: 30, picture });
    const points = [{ ...icePoint("A", 1, 1, 700), frame: 30 }];
    expect(back.marks.t1?.iceReference).toEqual({ kind: "ice-points", points });
  });

  it("offers on each frame the places marked on the others", () => {
    const list = candidates(moving(), trial, 30, []);
    expect(list).toEqual([{ label: "A", x: 1, y: 1, marked: false }]);
  });
});

describe("the lens", () => {
  it("is read as one or two numbers, and forgotten when blank", () => {
    expect(readLens("-0.12; 0.03")).toEqual({ k1: -0.12, k2: 0.03 });
    expect(readLens("-0.1")).toEqual({ k1: -0.1 });
    expect(readLens("-0,12")).toEqual({ k1: -0.12 });
    expect(readLens("-0,12; 0,03")).toEqual({ k1: -0.12, k2: 0.03 });
    expect(readLens("-0.12,0.03")).toEqual({ k1: -0.12, k2: 0.03 });
    expect(readLens(" ")).toBeNull();
    expect(refusal(() => readLens("wide")).coach).toMatch(/“wide” is not a lens/);
  });

  it("is kept with the ice points and given back to them", () => {
    const one = withPointA();
    const bent = setLens.run(one, { trial: "t1", lens: { k1: -0.1 } });
    expect(bent.marks.t1?.iceReference).toMatchObject({ lens: { k1: -0.1 } });
    expect(setLens.run(bent, { trial: "t1", lens: null })).toEqual(one);
    expect(refusal(() => setLens.run(bareStudy(), { trial: "t1", lens: null })).code).toBe("no-ice-points");
  });
});

describe("a check that the camera stood still", () => {
  const trial = "t1";
  const points = [
    icePoint("A", 0, -1.5),
    icePoint("B", 0, 1.5),
    icePoint("C", 6, -1.5),
    icePoint("D", 6, 1.5),
  ];
  const before = {
    ...bareStudy(),
    marks: { t1: marksWith({ iceReference: { kind: "ice-points", points } }) },
  };

  it("is kept once a point and frame, and taken back whole", () => {
    const recheck = { frame: 300, label: "B", xPx: 50, yPx: 60 };
    const once = recheckIcePoint.run(before, { trial, recheck });
    const twice = recheckIcePoint.run(once, { trial, recheck: { ...recheck, xPx: 51 } });
    expect(twice.marks.t1?.iceReference).toMatchObject({ rechecks: [{ ...recheck, xPx: 51 }] });
    expect(removeRechecks.run(twice, { trial })).toEqual(before);
  });

  it("needs a point that is marked, on the picture", () => {
    const again = (label: string, xPx: number) => () =>
      recheckIcePoint.run(before, { trial, recheck: { frame: 300, label, xPx, yPx: 60 } });
    expect(refusal(again("Z", 50)).code).toBe("no-ice-point");
    expect(refusal(again("B", 5000)).code).toBe("outside-picture");
  });

  it("asks for the press in words", () => {
    const asking: Tool = { kind: "recheck", label: "B" };
    expect(scaleAdvice({ kind: "ice-points", points }, asking, 300, []).title).toBe("Once more: B");
  });
});

describe("a scale copied from another trial", () => {
  const points = [
    icePoint("A", 0, -1.5),
    icePoint("B", 0, 1.5),
    icePoint("C", 6, -1.5),
    icePoint("D", 6, 1.5),
  ];
  const iceReference = { kind: "ice-points", points, copiedFrom: "t2" } as const;
  const before = { ...bareStudy(), marks: { t1: marksWith({ iceReference }) } };
  const now = (whole: typeof before | ReturnType<typeof setIcePoint.run>) => whole.marks.t1?.iceReference;

  it("is asked about until somebody says that it fits, or moves a point of it", () => {
    expect(scaleAdvice(iceReference, NO_TOOL, 0, [])).toMatchObject({
      done: false,
      title: expect.stringMatching(/Copied scale/),
    });
    expect(now(confirmIceReference.run(before, { trial: "t1" }))?.copiedFrom).toBeUndefined();
    const moved = { trial: "t1", frame: 0, point: icePoint("A", 0, -1.5, 77), picture: PICTURE };
    expect(now(setIcePoint.run(before, moved))?.copiedFrom).toBeUndefined();
    expect(now(setLens.run(before, { trial: "t1", lens: { k1: -0.1 } }))?.copiedFrom).toBe("t2");
  });

  it("warns wherever its scale is used", () => {
    const square: IcePoint[] = [
      { label: "A", x: 0, y: 1.5, xPx: 500, yPx: 900 },
      { label: "B", x: 0, y: -1.5, xPx: 1400, yPx: 900 },
      { label: "C", x: 12, y: 1.5, xPx: 750, yPx: 500 },
      { label: "D", x: 12, y: -1.5, xPx: 1150, yPx: 500 },
    ];
    const codes = (copiedFrom?: string) =>
      fitScale(
        { kind: "ice-points", points: square, ...(copiedFrom ? { copiedFrom } : {}) },
        PICTURE,
        1.5,
      ).summary.warnings.map((w) => w.code);
    expect(codes("t2")).toContain("scale-copied");
    expect(codes()).not.toContain("scale-copied");
  });
});
