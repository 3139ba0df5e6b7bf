import { describe, expect, it } from "vitest";
import {
  expectedAt,
  offeredPoints,
  type PuttingPoints,
  pointAfter,
} from "../../app/places/measure/scale/offeredPoints.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint, TrialMarks } from "../../src/study/types.ts";
import { demoStudy, truths } from "../demo/demoFiles.ts";

const DEMO = demoStudy();
/** The trial without marks; the others' ice points are the crosses of the same rink, at the same places. */
const TRIAL = "signe-open-1";
const truth = truths().find((t) => t.clip.startsWith(TRIAL));
if (!truth) throw new Error("the demo has that clip");
const CROSSES: readonly IcePoint[] = truth.ice_points.map((p) => ({
  label: p.label,
  x: p.x_m,
  y: p.y_m,
  xPx: p.x_px,
  yPx: p.y_px,
}));

function having(put: readonly IcePoint[], extra: Partial<PuttingPoints> = {}): PuttingPoints {
  const own = { ...(DEMO.marks["aino-close-1"] as TrialMarks), trial: TRIAL, events: [], marks: [] };
  const marks = { ...own, iceReference: { kind: "ice-points" as const, points: [...put] } };
  const picture = { width: truth?.camera.picture[0] ?? 0, height: truth?.camera.picture[1] ?? 0 };
  const scale = put.length >= 4 ? fitScale(marks.iceReference, picture, 1.5) : null;
  return {
    whole: { ...DEMO, marks: { ...DEMO.marks, [TRIAL]: marks } },
    trial: TRIAL,
    frame: 0,
    typed: [],
    scale,
    picture,
    ...extra,
  };
}

const named = (label: string | undefined) => CROSSES.find((c) => c.label === label);

describe("the next ice point", () => {
  it("is asked for by itself, through the whole list of another trial's places, each once", () => {
    const asked: string[] = [];
    let put = CROSSES.slice(0, 4);
    let next = pointAfter(having(put), CROSSES[3]?.label ?? "");
    // Another camera's trial has places of its own, after these in the list.
    for (let cross = named(next?.label); cross; cross = named(next?.label)) {
      asked.push(cross.label);
      put = [...put, cross];
      next = pointAfter(having(put), cross.label);
    }
    expect(new Set(asked).size).toBe(asked.length);
    expect(asked.sort()).toEqual(
      CROSSES.slice(4)
        .map((c) => c.label)
        .sort(),
    );
  });

  it("is never one outside the picture, nor a place that is put already under another name", () => {
    const far = { label: "behind the camera", x: 60, y: 0 };
    const aside = { label: "aside", x: 29, y: 12 };
    const again = { label: "cone", x: CROSSES[0]?.x ?? 0, y: CROSSES[0]?.y ?? 0 };
    const now = having(CROSSES.slice(0, 6), { typed: [far, aside, again] });
    const labels = offeredPoints(now).map((c) => c.label);
    for (const { label } of [far, aside, again]) expect(labels).not.toContain(label);
    expect(expectedAt(now, far)).toBeNull();
    expect(pointAfter(now, CROSSES[5]?.label ?? "")?.label).toBe(CROSSES[6]?.label);
  });

  it("is expected where the camera of the world sees it", () => {
    const now = having(CROSSES.slice(0, 6));
    for (const cross of CROSSES.slice(6)) {
      const at = expectedAt(now, cross);
      expect(Math.hypot((at?.xPx ?? 0) - cross.xPx, (at?.yPx ?? 0) - cross.yPx)).toBeLessThan(2);
    }
  });
});
