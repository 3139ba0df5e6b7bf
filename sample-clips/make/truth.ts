/**
 * The truth beside a clip: every quantity straight from the world's three-dimensional points, by the definitions of
 * the design and by code of its own. `README.md` in this folder's parent says what each field means.
 */
import type { Limb } from "./body.ts";
import { focalPx, project, rotation } from "./camera.ts";
import { bladePoint, type Filmed, type Happening, outward, travel } from "./happenings.ts";
import type { Sign } from "./schedule.ts";
import { dot, length, sub, unit, type V } from "./vec.ts";
import { GATES } from "./world.ts";

const POINTS = ["blade_heel", "blade_toe", "hip", "shoulder", "elbow", "wrist"] as const;
type Point = (typeof POINTS)[number];
export const sideName = (sign: Sign): "left" | "right" => (sign > 0 ? "left" : "right");

export function pointOf(limb: Limb, point: Point): V {
  if (point === "blade_heel") return limb.heel;
  if (point === "blade_toe") return limb.toe;
  return limb[point];
}

interface Value {
  readonly at_event: number;
  readonly at_frame: number | null;
}

/** Everything about one clip, ready to be written. */
export function truthOf(filmed: Filmed): Record<string, unknown> {
  const { clip, run, times, happenings } = filmed;
  const { camera } = clip;
  const factor = clip.fps / clip.claimedFps;
  const real = (t: number) => t - times[0]!;
  return {
    format: "blademark.truth",
    version: 1,
    clip: `${clip.name}.mp4`,
    shows: { skater: run.spec.person.name, technique: run.spec.technique, repeat: run.spec.repeat },
    frames: times.length,
    fps_true: clip.fps,
    fps_claimed: clip.claimedFps,
    speed_factor: factor,
    shutter_s: clip.shutter,
    camera: {
      place_m: camera.place,
      aim_m: camera.aim,
      rotation_right_down_forward: rotation(camera),
      focal_px: focalPx(camera),
      principal_point_px: [(camera.width - 1) / 2, (camera.height - 1) / 2],
      picture: [camera.width, camera.height],
    },
    ice_points: clip.marks.map((m) => {
      const seen = project(camera, [m.x, m.y, 0]);
      return { label: m.label, x_px: seen.x, y_px: seen.y, x_m: m.x, y_m: m.y };
    }),
    body: {
      stature_m: run.spec.person.stature,
      upper_arm_m: 0.186 * run.spec.person.stature,
      forearm_m: 0.146 * run.spec.person.stature,
      hip_height_m: meanHipHeight(filmed),
    },
    gates: GATES.map((x, i) => {
      const t = run.gateTimes[i]!;
      const inside = t >= times[0]! && t <= times.at(-1)!;
      return inside
        ? { x_m: x, real_s: real(t), clip_s: real(t) * factor, frame: real(t) * clip.fps }
        : { x_m: x, real_s: null, clip_s: null, frame: null };
    }),
    gate_to_gate_s: run.gateTimes[1]! - run.gateTimes[0]!,
    strides: run.pushes.flatMap((_, i) => stride(filmed, i)),
    events: happenings.map((h) => eventTruth(filmed, h)),
  };
}

/** Of mid-hip while sprinting, metres. */
export function meanHipHeight({ run, times }: Filmed): number {
  const sprint = times.filter((t) => run.progress.x(t) > 3 && run.progress.x(t) < 28);
  return sprint.reduce((sum, t) => sum + run.poseAt(t).midHip[2], 0) / sprint.length;
}

function eventTruth({ clip, run, times }: Filmed, h: Happening): Record<string, unknown> {
  const pose = run.poseAt(times[h.frame]!);
  const exact = h.time - times[0]!;
  const points = ([1, -1] as const).flatMap((sign) =>
    POINTS.map((point) => {
      const limb = sign > 0 ? pose.left : pose.right;
      const p = pointOf(limb, point);
      const seen = project(clip.camera, p);
      const blade = point.startsWith("blade") ? { on_ice: limb.onIce && p[2] < 1e-4 } : {};
      return { point, side: sideName(sign), x_px: seen.x, y_px: seen.y, m: p, ...blade };
    }),
  );
  const arm = h.event.startsWith("arm")
    ? towards(h.sign > 0 ? pose.left : pose.right, clip.camera.place)
    : {};
  return {
    event: h.event,
    side: sideName(h.sign),
    stride: h.push,
    exact_real_s: exact,
    exact_clip_s: (exact * clip.fps) / clip.claimedFps,
    frame: h.frame,
    frame_clip_s: h.frame / clip.claimedFps,
    ...arm,
    points,
  };
}

/** Is the elbow nearer the camera than the shoulder, the wrist nearer than the elbow? */
export function towards(
  limb: Limb,
  camera: V,
): { elbow_toward_camera: boolean; wrist_toward_camera: boolean } {
  const away = (p: V) => length(sub(p, camera));
  return {
    elbow_toward_camera: away(limb.elbow) < away(limb.shoulder),
    wrist_toward_camera: away(limb.wrist) < away(limb.elbow),
  };
}

/** One push and the recovery after it; nothing for a push whose blade-off the clip does not show. */
function stride(filmed: Filmed, i: number): Record<string, unknown>[] {
  const { run, times, happenings } = filmed;
  const find = (event: Happening["event"], push: number) =>
    happenings.find((h) => h.event === event && h.push === push);
  const off = find("blade_off", i);
  if (!off) return [];
  const before = find("blade_off", i - 1);
  const after = find("blade_off", i + 1);
  const on = find("blade_on", i);
  const nearest = find("recovery_min", i);
  const { sign } = off;
  const other = -sign as Sign;

  /** The same sum twice: with the events' exact moments, and with those of the frames that show them. */
  const twice = (
    needs: readonly (Happening | undefined)[],
    sum: (at: (h: Happening) => number) => number,
  ) => {
    if (needs.some((h) => !h)) return null;
    return { at_event: sum((h) => h.time), at_frame: sum((h) => times[h.frame]!) } satisfies Value;
  };
  type At = (h: Happening) => number;
  const blade = (h: Happening, at: At): V => bladePoint(run, h.sign, at(h));
  const line = (at: At): V => travel(blade(before!, at), blade(after!, at));
  const hips = (h: Happening, at: At): V => run.poseAt(at(h)).midHip;

  const around = [before, off, after];
  return [
    {
      stride: i,
      side: sideName(sign),
      both_ends_on_ice: [before, off, after, on]
        .map((h) => h && bothOnIce(filmed, h))
        .every((x) => x !== false),
      blade_off_s: off.time - times[0]!,
      blade_on_s: on ? on.time - times[0]! : null,
      stride_width_m: twice(around, (at) => outward(blade(off, at), blade(before!, at), line(at), sign)),
      blade_separation_m: twice(around, (at) =>
        outward(blade(off, at), bladePoint(run, other, at(off)), line(at), sign),
      ),
      half_width_m: twice(around, (at) => outward(blade(off, at), hips(off, at), line(at), sign)),
      recovery_to_midline_m: twice([...around, nearest], (at) =>
        outward(blade(nearest!, at), hips(nearest!, at), line(at), sign),
      ),
      touchdown_to_midline_m: twice([...around, on], (at) =>
        outward(blade(on!, at), hips(on!, at), line(at), sign),
      ),
      touchdown_to_track_midline_m: twice([...around, on], (at) => {
        const [a, b] = [blade(off, at), blade(after!, at)];
        return outward(blade(on!, at), [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, 0], line(at), sign);
      }),
      stride_length_m: twice(around, (at) => dot(sub(blade(off, at), blade(before!, at)), line(at))),
      stride_rate_hz: before ? 1 / (off.time - before.time) : null,
      recovery_time_s: on ? on.time - off.time : null,
      arm_swing: Object.fromEntries(
        ([1, -1] as const).map((arm) => [
          sideName(arm),
          armSwing(filmed, i, arm, before && after ? line : null),
        ]),
      ),
    },
  ];
}

const bothOnIce = ({ run, times }: Filmed, h: Happening): boolean => {
  const pose = run.poseAt(times[h.frame]!);
  const limb = h.sign > 0 ? pose.left : pose.right;
  return limb.onIce && limb.heel[2] < 1e-4 && limb.toe[2] < 1e-4;
};

/** The swing of one arm during push i: between the extreme at the blade-off before and the one at its own. */
function armSwing(filmed: Filmed, i: number, arm: Sign, line: ((at: (h: Happening) => number) => V) | null) {
  const extreme = (push: number) =>
    filmed.happenings.find((h) => h.event.startsWith("arm") && h.push === push && h.sign === arm);
  const [from, to] = [extreme(i - 1), extreme(i)];
  if (!from || !to || !line) return null;
  const at = (when: (h: Happening) => number) => {
    const reach = (h: Happening): V => {
      const pose = filmed.run.poseAt(when(h));
      const limb = arm > 0 ? pose.left : pose.right;
      return sub(limb.wrist, limb.shoulder);
    };
    const [a, b] = [reach(from), reach(to)];
    const swept = sub(b, a);
    const along = line(when);
    const ahead = Math.abs(dot(swept, along));
    const across = Math.abs(outward(swept, [0, 0, 0], along, 1));
    return {
      direction_deg: (180 / Math.PI) * Math.atan2(across, ahead),
      angle_deg: (180 / Math.PI) * Math.acos(dot(unit(a), unit(b))),
    };
  };
  return { at_event: at((h) => h.time), at_frame: at((h) => filmed.times[h.frame]!) };
}

/** JSON with a micrometre's (microsecond's, micropixel's) figures, a line for each stride and each event. */
export function truthText(truth: Record<string, unknown>): string {
  const round = (_: string, v: unknown) => (typeof v === "number" ? Math.round(v * 1e6) / 1e6 : v);
  const value = (v: unknown): string =>
    Array.isArray(v) && typeof v[0] === "object" && !Array.isArray(v[0])
      ? `[\n    ${v.map((x) => JSON.stringify(x, round)).join(",\n    ")}\n  ]`
      : JSON.stringify(v, round);
  const lines = Object.entries(truth).map(([key, v]) => `  ${JSON.stringify(key)}: ${value(v)}`);
  return `{\n${lines.join(",\n")}\n}\n`;
}
