import { describe, expect, it } from "vitest";
import { boxOf, fitBox, lineSpacing, toMap } from "../../app/icemap/mapView.ts";
import { markAt } from "../../app/picture/drawnMark.ts";
import { centreOn, fitView, panBy, toPicture, toStage, zoomAt } from "../../app/picture/view.ts";
import { bands, ticks } from "../../app/ribbon/ribbonModel.ts";
import { markedPicture, speedText, timeText } from "../../app/store/time.ts";
import { iceGrid } from "../../src/ice/camera/iceGrid.ts";
import type { Scale } from "../../src/ice/types.ts";
import { strideWidthLine } from "../../src/kinematics/quantities/strideWidthLine.ts";
import type { Stride } from "../../src/kinematics/types.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { EventFrame, EventName, Side } from "../../src/study/types.ts";

const PICTURE = { width: 1920, height: 1080 };
const STAGE = { width: 960, height: 700 };

describe("the picture's view", () => {
  it("fits the whole picture, the centre of the first pixel half a pixel inside its corner", () => {
    const view = fitView(PICTURE, STAGE);
    expect(view.scale).toBe(0.5);
    // Half of 960 px wide, 540 px high in 700: 80 px above; then half a picture pixel = 0.25 px.
    expect(toStage(view, { xPx: 0, yPx: 0 })).toEqual({ x: 0.25, y: 80.25 });
    expect(toStage(view, { xPx: -0.5, yPx: -0.5 })).toEqual({ x: 0, y: 80 });
    expect(toStage(view, { xPx: 1919.5, yPx: 1079.5 })).toEqual({ x: 960, y: 620 });
  });

  it("keeps the point under the pointer while zooming", () => {
    let view = fitView(PICTURE, STAGE);
    const before = toPicture(view, 700, 333);
    for (const factor of [1.7, 3.1, 1.3]) view = zoomAt(view, factor, { x: 700, y: 333 }, PICTURE, STAGE);
    const after = toPicture(view, 700, 333);
    expect(after.xPx).toBeCloseTo(before.xPx, 9);
    expect(after.yPx).toBeCloseTo(before.yPx, 9);
  });

  it("never zooms out beyond the whole picture nor leaves an empty border", () => {
    const fit = fitView(PICTURE, STAGE);
    expect(zoomAt(fit, 0.1, { x: 5, y: 5 }, PICTURE, STAGE)).toEqual(fit);
    const close = zoomAt(fit, 8, { x: 480, y: 350 }, PICTURE, STAGE);
    const far = panBy(close, 1e6, -1e6, PICTURE, STAGE);
    expect(toPicture(far, 0, 0).xPx).toBeCloseTo(-0.5, 9);
    expect(toPicture(far, 960, 700).yPx).toBeCloseTo(1079.5, 9);
  });

  it("brings a point to the middle, as far as the picture's edge allows", () => {
    const middle = toStage(centreOn({ xPx: 900, yPx: 500 }, 2, PICTURE, STAGE), { xPx: 900, yPx: 500 });
    expect(middle).toEqual({ x: 480, y: 350 });
    const corner = centreOn({ xPx: 0, yPx: 0 }, 2, PICTURE, STAGE);
    expect(toPicture(corner, 0, 0)).toEqual({ xPx: -0.5, yPx: -0.5 });
  });

  it("finds the nearest mark within reach of the pointer", () => {
    const view = fitView(PICTURE, STAGE);
    const marks = [
      { id: "a", xPx: 100, yPx: 100, side: "left" as const, label: "" },
      { id: "b", xPx: 112, yPx: 100, side: "left" as const, label: "" },
    ];
    const at = toStage(view, { xPx: 108, yPx: 100 });
    expect(markAt(marks, view, at.x, at.y, 12)?.id).toBe("b");
    expect(markAt(marks, view, at.x, at.y + 13, 12)).toBeNull();
  });
});

describe("the metre grid", () => {
  const flat: Scale = {
    summary: {
      kind: "ice-points",
      points: 4,
      rmsPx: null,
      rms: null,
      rmsAcross: null,
      camera: null,
      lens: null,
      warnings: [],
    },
    residuals: [],
    hull: [
      { x: 2.5, y: -1.5 },
      { x: 12.5, y: -1.5 },
      { x: 12.5, y: 1.5 },
      { x: 2.5, y: 1.5 },
    ],
    toIce: () => null,
    toPicture: (x, y) => ({ xPx: 10 * x, yPx: 100 - 10 * y }),
  };

  it("has a line a metre inside the reference, named every five, and none beyond", () => {
    const lines = iceGrid(flat, 0);
    // Across: x = 3 … 12 (10 lines); along: y = -1, 0, 1 (3 lines).
    expect(lines).toHaveLength(13);
    expect(lines.flatMap((l) => l.label?.text ?? [])).toEqual(["5 m", "10 m"]);
    for (const { points } of lines)
      for (let i = 0; i < points.length; i += 2) {
        expect(points[i]).toBeGreaterThanOrEqual(25 - 1e-9);
        expect(points[i]).toBeLessThanOrEqual(125 + 1e-9);
      }
  });

  it("leaves out a line that reaches behind the camera, and is empty for known lengths", () => {
    const half = { ...flat, toPicture: (x: number, y: number) => (x > 8 ? null : flat.toPicture(x, y)) };
    expect(iceGrid(half, 0)).toHaveLength(6);
    expect(iceGrid({ ...flat, hull: [] }, 0)).toEqual([]);
  });
});

describe("the stride ribbon", () => {
  const event = (name: EventName, side: Side, time: number): EventFrame => ({
    event: name,
    side,
    frame: Math.round(time * 100),
    time,
  });

  it("draws recovery from blade-off to blade-on and ice from blade-on to blade-off", () => {
    const events = [
      event("blade_off", "left", 1),
      event("blade_on", "left", 1.3),
      event("blade_off", "right", 1.35),
      event("blade_off", "left", 1.7),
    ];
    expect(bands(events, "left", 3, 1)).toEqual([
      { from: 0.65, to: 1, kind: "ice", openStart: true, openEnd: false },
      { from: 1, to: 1.3, kind: "recovery", openStart: false, openEnd: false },
      { from: 1.3, to: 1.7, kind: "ice", openStart: false, openEnd: false },
    ]);
  });

  it("draws nothing where nothing is known", () => {
    expect(bands([], "left", 3, 1)).toEqual([]);
    // Two blade-offs with no blade-on between: no recovery is drawn, the second contact begins nowhere known.
    const two = bands([event("blade_off", "left", 1), event("blade_off", "left", 1.2)], "left", 3, 1);
    expect(two.every((b) => b.kind === "ice" && b.openStart)).toBe(true);
  });

  it("has round seconds on its axis", () => {
    expect(ticks(0, 5.2)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(ticks(0, 0.6)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
    expect(ticks(0, 47)).toEqual([0, 10, 20, 30, 40]);
  });
});

describe("the ice map", () => {
  it("has the finish up and the skater's left on the left, with one scale both ways", () => {
    const view = fitBox({ x0: 0, x1: 30, y0: -3, y1: 3 }, 300, 600, 0);
    expect(view.pxPerM).toBe(20);
    const origin = toMap(view, 0, 0);
    expect(toMap(view, 10, 0)).toEqual({ x: origin.x, y: origin.y - 200 });
    expect(toMap(view, 0, 1)).toEqual({ x: origin.x - 20, y: origin.y });
  });

  it("keeps its lines apart and its box closed", () => {
    expect(lineSpacing(40)).toBe(1);
    expect(lineSpacing(9)).toBe(5);
    expect(boxOf([])).toBeNull();
    expect(
      boxOf([
        { x: 1, y: 2 },
        { x: -1, y: 5 },
      ]),
    ).toEqual({ x0: -1, x1: 1, y0: 2, y1: 5 });
  });

  it("draws the width square to the line through the other blade's points", () => {
    const off = (x: number, y: number) => ({ x, y, ux: 0, uy: 0 });
    const strides = [off(0, 0), off(2, 1.3), off(4, 0.4)].map((at) => ({ off: at }) as unknown as Stride);
    const line = strideWidthLine(strides, strides[1]!);
    // Closed form: distance of (2, 1.3) from the line (0,0)-(4,0.4) = |4 * 1.3 - 0.4 * 2| / hypot(4, 0.4).
    const length = Math.hypot(line!.from.x - line!.foot.x, line!.from.y - line!.foot.y);
    expect(length).toBeCloseTo((4 * 1.3 - 0.4 * 2) / Math.hypot(4, 0.4), 12);
    expect(strideWidthLine(strides, strides[0]!)).toBeNull();
  });
});

describe("times in words", () => {
  it("name the speed factor wherever it is not 1", () => {
    expect(timeText(1.7083, 1)).toBe("1.708 s");
    expect(timeText(13.664, 8)).toBe("13.664 s of clip = 1.708 s");
    expect(speedText(1)).toBeNull();
    expect(speedText(8)).toBe("plays 8 times slower than life");
    expect(speedText(0.5)).toBe("plays 2 times faster than life");
  });

  it("bind marks to the clip's size and the middle of its frame gaps", () => {
    const index = {
      clip: "c1",
      width: 1280,
      height: 720,
      rateMedianHz: null,
      times: [0, 0.1, 0.2, 0.9, 1],
    } as unknown as ClipIndex;
    expect(markedPicture(index)?.frameInterval).toBeCloseTo(0.1, 12);
    expect(markedPicture({ ...index, rateMedianHz: 50 })?.frameInterval).toBe(0.02);
    expect(markedPicture({ ...index, times: [0] })).toBeNull();
    expect(markedPicture({ ...index, width: 0 })).toBeNull();
  });
});
