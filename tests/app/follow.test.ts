import { describe, expect, it } from "vitest";
import { AIMED_HEIGHT, followView } from "../../app/picture/follow.ts";
import { type Size, toStage } from "../../app/picture/view.ts";
import { pushing } from "../../app/places/measure/core/pictureAsks.ts";
import { type SkaterPath, skaterPath } from "../../app/places/measure/core/skaterPath.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { Scale } from "../../src/ice/types.ts";
import type { EventFrame, Mark, Side } from "../../src/study/types.ts";
import { type Truth, truths } from "../demo/demoFiles.ts";

/** The generator's own truth of each demo clip: where every point is, on every event frame. */
const TRUTHS = truths();

/** The picture's room in windows of 1440x900, 1280x720 and 1024x768, with the first steps over it, and without the least of them. */
const STAGES: readonly Size[] = [
  { width: 880, height: 403 },
  { width: 750, height: 223 },
  { width: 574, height: 269 },
  { width: 750, height: 270 },
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

/** The blade that is out to its side on that frame: it leaves the ice, or the other one comes down. */
function pushingOn(truth: Truth, frame: number): Side {
  const e = truth.events.find((e) => e.frame === frame && e.event.startsWith("blade"));
  if (!e) throw new Error(`frame ${frame} is no event of a blade`);
  return (e.side === "left") === (e.event === "blade_off") ? "left" : "right";
}

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
          const path = pathOf(truth, frames.slice(0, k), scale);
          for (const pushing of [pushingOn(truth, next), null]) {
            const place = path(next, AIMED_HEIGHT.blades, pushing);
            if (!place) throw new Error("nothing is known of the skater");
            for (const stage of STAGES) {
              const view = followView(place, "blades", pictureOf(truth), stage);
              const outside = bladesOn(truth, next).filter((p) => {
                const at = toStage(view, { xPx: p.x_px, yPx: p.y_px });
                return !(at.x > 0 && at.x < stage.width && at.y > 0 && at.y < stage.height);
              });
              expect(outside, `frame ${next}, ${stage.width} px wide, ${pushing} pushes`).toEqual([]);
            }
          }
        }
      });
    }
  }

  it("marks at 3 to 6 screen pixels a pixel, or at what both blades leave room for, however near the skater is", () => {
    const told: string[] = [];
    for (const truth of TRUTHS) {
      const frames = bladeFrames(truth);
      const scale = scaleOf(truth);
      for (let k = 8; k < frames.length; k++) {
        const { frame } = frames[k] as Frame;
        const place = pathOf(truth, frames.slice(0, k), scale)(
          frame,
          AIMED_HEIGHT.blades,
          pushingOn(truth, frame),
        );
        const blades = bladesOn(truth, frame);
        if (!place || blades.length < 4) continue;
        const spread = (of: "x_px" | "y_px") => {
          const values = blades.map((p) => p[of]);
          return Math.max(...values) - Math.min(...values);
        };
        const metre = metreOf(truth, frame);
        for (const stage of STAGES) {
          const view = followView(place, "blades", pictureOf(truth), stage);
          // What the blades really take up and 0.75 m beside them: strides are not all alike, and nobody knows the next one.
          const most = Math.min(
            stage.width / (spread("x_px") + 0.75 * metre),
            stage.height / (spread("y_px") + 0.35 * metre),
          );
          if (view.scale < Math.min(3, most) - 1e-9 || view.scale > 6)
            told.push(
              `${truth.clip} ${frame}, ${stage.width} px wide: ${view.scale.toFixed(2)} of ${most.toFixed(2)}`,
            );
        }
      }
    }
    expect(told).toEqual([]);
  });

  it("stands at the start line before a standing start, whose marks say that speed rose", () => {
    // From a standing start at the line: sample-clips/README.md. These clips begin before it.
    const whole = TRUTHS.filter((t) => t.speed_factor === 1 && (t.gates[0]?.frame ?? -1) > 30);
    expect(whole.length).toBeGreaterThan(3);
    for (const truth of whole) {
      const scale = scaleOf(truth);
      const place = pathOf(
        truth,
        bladeFrames(truth).filter((f) => f.frame > 60),
        scale,
      )(0, 0, null);
      // Half a body behind the line.
      const line = scale.toPicture(-0.3, 0, 0, 0);
      if (!place || !line) throw new Error("nothing is known of the skater");
      const off = Math.hypot(place.at.xPx - line.xPx, place.at.yPx - line.yPx) / place.pxPerM;
      expect(off, truth.clip).toBeLessThan(0.25);
    }
  });

  it("shows the skater as large on every frame, by the camera of the world, as long as that is 3 to 6 px a pixel", () => {
    const [stage] = STAGES as [Size];
    for (const truth of TRUTHS) {
      const frames = bladeFrames(truth);
      const path = pathOf(truth, frames, scaleOf(truth));
      const sizes: number[] = [];
      for (const { frame } of frames) {
        const place = path(frame, AIMED_HEIGHT.blades, pushingOn(truth, frame));
        const view = place && followView(place, "blades", pictureOf(truth), stage);
        if (!view) throw new Error("nothing is known of the skater");
        if (view.scale < 6 && view.scale > 3.01) sizes.push(view.scale * metreOf(truth, frame));
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
        const place = path(frame, 0, null);
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
    const place = path(next, AIMED_HEIGHT.blades, null);
    const stage = STAGES[0] as Size;
    const view = place && followView(place, "blades", pictureOf(truth), stage);
    if (!view) throw new Error("nothing is known of the skater");
    for (const p of bladesOn(truth, next)) {
      const at = toStage(view, { xPx: p.x_px, yPx: p.y_px });
      expect(at.x > 0 && at.x < stage.width && at.y > 0 && at.y < stage.height).toBe(true);
    }
    expect(pathOf(truth, [], scaleOf(truth))(next, 0, null)).toBeNull();
  });
});

describe("the blade that is out to its side", () => {
  const events: EventFrame[] = [
    { event: "blade_on", side: "right", frame: 40, time: 0 },
    { event: "blade_off", side: "left", frame: 44, time: 0 },
    { event: "arm_front", side: "right", frame: 46, time: 0 },
  ];
  const next = { kind: "pick-event", event: "blade_off", side: "right" } as Parameters<typeof pushing>[0];

  it("is, on a frame that was picked, the one it was picked for, and elsewhere the one asked for", () => {
    expect([40, 44, 46, 47].map((frame) => pushing(next, events, frame))).toEqual([
      "left",
      "left",
      "right",
      "right",
    ]);
  });
});
