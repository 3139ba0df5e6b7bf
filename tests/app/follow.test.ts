import { describe, expect, it } from "vitest";
import { AIMED_HEIGHT, followView } from "../../app/picture/follow.ts";
import { type Size, toStage } from "../../app/picture/view.ts";
import { type SkaterPath, skaterPath } from "../../app/places/measure/core/skaterPath.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { Scale } from "../../src/ice/types.ts";
import type { EventFrame, Mark } from "../../src/study/types.ts";
import { type Truth, truths } from "../demo/demoFiles.ts";

/** The generator's own truth of each demo clip: where every point is, on every event frame. */
const TRUTHS = truths();

/** The picture's room in windows of 1440x900, 1280x720 and 1024x768. */
const STAGES: readonly Size[] = [
  { width: 880, height: 430 },
  { width: 750, height: 300 },
  { width: 574, height: 300 },
];

const BLADES = ["blade_heel", "blade_toe"];

interface Frame {
  readonly frame: number;
  readonly events: readonly EventFrame[];
  readonly marks: readonly Mark[];
}

/** Blade-off and blade-on frames in order, with what the guide has marked there. */
function bladeFrames(truth: Truth, every: "all" | "pushing" = "all"): Frame[] {
  const found = new Map<number, { events: EventFrame[]; marks: Mark[] }>();
  for (const e of truth.events) {
    if (e.event !== "blade_off" && e.event !== "blade_on") continue;
    const there = found.get(e.frame) ?? { events: [], marks: [] };
    found.set(e.frame, there);
    there.events.push({ event: e.event, side: e.side, frame: e.frame, time: e.frame_clip_s } as EventFrame);
    for (const p of e.points) {
      const asked = (e.event === "blade_off" && every === "all") || p.side === e.side;
      if (!BLADES.includes(p.point) || !asked) continue;
      there.marks.push({
        frame: e.frame,
        time: e.frame_clip_s,
        point: p.point,
        side: p.side,
        xPx: p.x_px,
        yPx: p.y_px,
      } as Mark);
    }
  }
  return [...found].map(([frame, rest]) => ({ frame, ...rest })).sort((a, b) => a.frame - b.frame);
}

function scaleOf(truth: Truth): Scale {
  const [width, height] = truth.camera.picture as [number, number];
  const points = truth.ice_points.map((p) => ({
    label: p.label,
    x: p.x_m,
    y: p.y_m,
    xPx: p.x_px,
    yPx: p.y_px,
  }));
  return fitScale({ kind: "ice-points", points }, { width, height }, 1.5);
}

function pathOf(truth: Truth, done: readonly Frame[], scale: Scale | null): SkaterPath {
  return skaterPath({
    marks: done.flatMap((f) => f.marks),
    events: done.flatMap((f) => f.events),
    scale,
    ratePerS: truth.fps_claimed * truth.speed_factor,
    speed: 30 / truth.gate_to_gate_s,
  });
}

const pictureOf = (truth: Truth): Size => {
  const [width, height] = truth.camera.picture as [number, number];
  return { width, height };
};

/** Both blades of that frame, all four ends, as far as they are in the picture. */
function bladesOn(truth: Truth, frame: number) {
  const { width, height } = pictureOf(truth);
  return truth.events
    .filter((e) => e.frame === frame && !e.event.startsWith("arm"))
    .flatMap((e) => e.points.filter((p) => BLADES.includes(p.point)))
    .filter((p) => p.x_px > 0 && p.y_px > 0 && p.x_px < width && p.y_px < height);
}

/** Picture px a metre at a distance from the camera, of the camera the clip was rendered with. */
function metreOf(truth: Truth, frame: number): number {
  const [first] = truth.events.filter((e) => e.frame === frame && !e.event.startsWith("arm"));
  const on = first?.points.find((p) => p.point === "hip")?.m ?? [0, 0, 0];
  const { place_m, aim_m, focal_px } = truth.camera;
  const look = aim_m.map((v, i) => v - (place_m[i] as number));
  const length = Math.hypot(...look);
  const depth = look.reduce(
    (sum, v, i) => sum + (v / length) * ((on[i] as number) - (place_m[i] as number)),
    0,
  );
  return focal_px / depth;
}

describe("the view that follows", () => {
  for (const truth of TRUTHS) {
    for (const marked of ["all", "pushing"] as const) {
      it(`holds both blades on each next event frame of ${truth.clip}, in any window, ${marked} blades marked`, () => {
        const frames = bladeFrames(truth, marked);
        const scale = scaleOf(truth);
        for (let k = 1; k < frames.length; k++) {
          const next = (frames[k] as Frame).frame;
          const place = pathOf(truth, frames.slice(0, k), scale)(next, AIMED_HEIGHT.blades);
          if (!place) throw new Error("nothing is known of the skater");
          for (const stage of STAGES) {
            const view = followView(place, "blades", pictureOf(truth), stage);
            const outside = bladesOn(truth, next).filter((p) => {
              const at = toStage(view, { xPx: p.x_px, yPx: p.y_px });
              return !(at.x > 0 && at.x < stage.width && at.y > 0 && at.y < stage.height);
            });
            expect(outside, `frame ${next}, ${stage.width} px wide`).toEqual([]);
          }
        }
      });
    }
  }

  it("shows the skater as large on every frame, by the camera of the world, and to 6 px a pixel at most", () => {
    const [stage] = STAGES as [Size];
    for (const truth of TRUTHS) {
      const frames = bladeFrames(truth);
      const path = pathOf(truth, frames, scaleOf(truth));
      const sizes: number[] = [];
      for (const { frame } of frames) {
        const place = path(frame, AIMED_HEIGHT.blades);
        const view = place && followView(place, "blades", pictureOf(truth), stage);
        if (!view) throw new Error("nothing is known of the skater");
        expect(view.scale).toBeLessThanOrEqual(6);
        // Nearest the camera both blades fill the window: no more can be had.
        expect(view.scale).toBeGreaterThan(2);
        if (view.scale < 6) sizes.push(view.scale * metreOf(truth, frame));
      }
      // A skater stands half a step before or behind the hips the depth is taken at: 0.5 m of 20.
      expect(Math.max(...sizes) / Math.min(...sizes), truth.clip).toBeLessThan(1.05);
    }
  });

  it("goes on smoothly from frame to frame, marked or not, before, between and beyond the marks", () => {
    for (const truth of TRUTHS) {
      const frames = bladeFrames(truth);
      const some = frames.slice(0, Math.ceil(frames.length / 2));
      const path = pathOf(truth, some, scaleOf(truth));
      const last = (some.at(-1) as Frame).frame + 20;
      const at = (frame: number) => {
        const place = path(frame, 0);
        if (!place) throw new Error("nothing is known of the skater");
        return { x: place.at.xPx / place.pxPerM, y: place.at.yPx / place.pxPerM };
      };
      const realFps = truth.fps_claimed * truth.speed_factor;
      let before: { x: number; y: number } | null = null;
      for (let f = (some[0] as Frame).frame; f < last; f++) {
        const [a, b] = [at(f), at(f + 1)];
        const now = { x: b.x - a.x, y: b.y - a.y };
        // No skater sprints at 15 m/s; none gains 1 m/s from one frame at 60 to the next.
        expect(Math.hypot(now.x, now.y)).toBeLessThan(15 / realFps);
        if (before) expect(Math.hypot(now.x - before.x, now.y - before.y)).toBeLessThan(1 / realFps);
        before = now;
      }
    }
  });

  it("follows blades that only the picture tells of, and knows nothing where nothing is marked", () => {
    const truth = TRUTHS.find((t) => t.clip.startsWith("aino-close-1")) as Truth;
    const frames = bladeFrames(truth);
    const path = pathOf(truth, frames.slice(0, 6), null);
    const next = (frames[6] as Frame).frame;
    const place = path(next, AIMED_HEIGHT.blades);
    const stage = STAGES[0] as Size;
    const view = place && followView(place, "blades", pictureOf(truth), stage);
    if (!view) throw new Error("nothing is known of the skater");
    for (const p of bladesOn(truth, next)) {
      const at = toStage(view, { xPx: p.x_px, yPx: p.y_px });
      expect(at.x > 0 && at.x < stage.width && at.y > 0 && at.y < stage.height).toBe(true);
    }
    expect(pathOf(truth, [], scaleOf(truth))(next, 0)).toBeNull();
  });
});
