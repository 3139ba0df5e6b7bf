import { project } from "../../ice/camera/camera.ts";
import type { FittedScale } from "../../ice/camera/ground.ts";
import type { PicturePoint, Scale } from "../../ice/types.ts";
import { strideWidthLine } from "../../kinematics/quantities/strideWidthLine.ts";
import type { Stride } from "../../kinematics/types.ts";
import type { GatePassing } from "../../study/types.ts";
import { Sources } from "../../uncertainty/uncertain.ts";
import { smoothThrough } from "./smoothThrough.ts";

/** Where the skater stands on the ice in a frame, as seen, and how large a metre is there. */
export interface Aim extends PicturePoint {
  /** Picture px a metre, across the line of sight, at the skater. */
  readonly pxPerMetre: number;
}

/** Beyond the marked blade-offs the skater is taken to go straight on for so long, clip seconds' worth of real time. */
const STRAIGHT_ON = 0.5;

/** The front of a sprinting skater is about so far ahead of the blades, metres. [judgement; for showing only] */
const FRONT = 0.4;

/**
 * Where the skater is in any frame of a clip, for showing only: along the lane smoothly through the blade-off points,
 * across it on the straight line through their midlines. Null where the scale or the blade-offs don't tell.
 *
 * @param passings frames in which the skater passes gates: before the first blade-off they tell the most
 * @param times clip seconds, one a frame
 */
export function aimer(
  strides: readonly Stride[],
  passings: readonly GatePassing[],
  scale: FittedScale,
  times: readonly number[],
  speedFactor: number,
): ((frame: number) => Aim) | null {
  const places = strides.flatMap((s) => {
    if (!s.off || times[s.blade_off_frame] === undefined) return [];
    const line = strideWidthLine(strides, s);
    return [
      {
        frame: s.blade_off_frame,
        x: s.off.x,
        y: line ? (line.from.y + line.foot.y) / 2 : null,
        own: s.off.y,
      },
    ];
  });
  if (places.length === 0) return null;
  const middles = places.filter((p) => p.y !== null);
  const across = straightThrough(
    middles.length > 0 ? middles.map((p) => [p.x, p.y!]) : places.map((p) => [p.x, p.own]),
  );
  const gates = passings.map((g) => ({ frame: g.frame, x: g.gate - FRONT }));
  const [from, to] = [places[0]!.frame, places[places.length - 1]!.frame];
  const outside = gates.filter((g) => times[g.frame] !== undefined && (g.frame < from || g.frame > to));
  const all = [...outside, ...places].sort((a, b) => a.frame - b.frame);
  const instants = all.map((p) => times[p.frame]!);
  const along = smoothThrough(
    instants,
    all.map((p) => p.x),
  );
  const room = STRAIGHT_ON * speedFactor;
  const [first, last] = [instants[0]! - room, instants[instants.length - 1]! + room];
  const magnified = magnification(scale);
  const direct = (frame: number): Aim | null => {
    const x = along(Math.min(Math.max(times[frame] ?? 0, first), last));
    const y = across(x);
    const seen = scale.toPicture(x, y, 0, frame);
    const pxPerMetre = magnified(x, y, frame);
    return seen && pxPerMetre !== null ? { ...seen, pxPerMetre } : null;
  };
  const known = places.flatMap((p) => {
    const aim = direct(p.frame);
    return aim ? [{ frame: p.frame, aim }] : [];
  });
  if (known.length === 0) return null;
  // A camera that pans or zooms is known in the frames with ice points only; between them the picture moves evenly.
  return (frame) => direct(frame) ?? between(known, frame);
}

/** Picture px a metre across the line of sight at a place of the ice; null where the scale can't tell. */
export function magnification(scale: FittedScale): (x: number, y: number, frame: number) => number | null {
  const ground = scale.ground(new Sources());
  return (x, y, frame) => {
    const camera = ground.cameraIn(frame)?.camera;
    if (camera) {
      const [, , depth] = project(camera, x, y, 0);
      return depth > 0 ? camera.focalPx / depth : null;
    }
    return acrossTheLane(scale, x, y, frame);
  };
}

/** Without a camera: a metre across the lane, as seen. */
function acrossTheLane(scale: Scale, x: number, y: number, frame: number): number | null {
  const [a, b] = [scale.toPicture(x, y - 0.5, 0, frame), scale.toPicture(x, y + 0.5, 0, frame)];
  return a && b ? Math.hypot(b.xPx - a.xPx, b.yPx - a.yPx) : null;
}

function straightThrough(points: readonly (readonly [number, number])[]): (x: number) => number {
  const n = points.length;
  const [mx, my] = [0, 1].map((k) => points.reduce((sum, p) => sum + p[k as 0 | 1], 0) / n) as [
    number,
    number,
  ];
  const spread = points.reduce((sum, [x]) => sum + (x - mx) ** 2, 0);
  const slope = spread > 1 ? points.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0) / spread : 0;
  return (x) => my + slope * (x - mx);
}

function between(known: readonly { readonly frame: number; readonly aim: Aim }[], frame: number): Aim {
  const after = known.find((k) => k.frame >= frame) ?? known[known.length - 1]!;
  const before = known.filter((k) => k.frame <= frame).at(-1) ?? known[0]!;
  const share = after.frame === before.frame ? 0 : (frame - before.frame) / (after.frame - before.frame);
  const mix = (of: (aim: Aim) => number) => of(before.aim) + share * (of(after.aim) - of(before.aim));
  return {
    xPx: mix((a) => a.xPx),
    yPx: mix((a) => a.yPx),
    pxPerMetre: Math.exp(mix((a) => Math.log(a.pxPerMetre))),
  };
}
