import type { PicturePoint, Scale } from "../../ice/types.ts";
import { armExtremes, strideAt, swingsBetween } from "../../kinematics/arms/swings.ts";
import type { Place3d, PlacedPoint, Stride, TrialReadings } from "../../kinematics/types.ts";
import type { Reading } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";

/** An arm at one extreme of its swing as it is seen, and the direction of the swing on the ice below it. */
export interface ArmLine {
  readonly side: Side;
  /** Shoulder, elbow, wrist. */
  readonly joints: readonly PicturePoint[];
  /** The same at the swing's other extreme, brought to this shoulder. */
  readonly other: readonly PicturePoint[];
  /** On the ice straight below: where the wrist passes the shoulder, from its back to its front extreme. */
  readonly swing: readonly [back: PicturePoint, front: PicturePoint];
  /** Straight along the travel through the same middle. */
  readonly travel: readonly [PicturePoint, PicturePoint];
  /** Direction, degrees, and half-width of its 95 % interval. */
  readonly value: number;
  readonly u95: number;
}

/** Drawn and said must be the same swing; what is drawn is worked out from rounded places. */
const SAME_DEG = 1;
const JOINTS = ["shoulder", "elbow", "wrist"] as const;

type Arm = Readonly<Record<(typeof JOINTS)[number], Place3d>>;

/** Metres of the travel's line at least: shorter it can't be seen along the view. */
const TRAVEL = 1.2;

/** The arms that are at an extreme of their swing in a frame, with a direction that is measured. */
export function armLines(
  scale: Scale,
  frame: number,
  readings: TrialReadings,
  events: readonly EventFrame[],
): ArmLine[] {
  return (["left", "right"] as const).flatMap((side) => {
    const swings = swingsBetween(armExtremes(events, side));
    // Of the two swings that an extreme belongs to, the one that it begins.
    const others = [...swings].reverse().flatMap(({ front, back }) => {
      if (front.frame === frame) return [back.frame];
      return back.frame === frame ? [front.frame] : [];
    });
    const lines = others.flatMap((other) => armLine(scale, readings, { side, frame, other }) ?? []);
    return lines.slice(0, 1);
  });
}

/** One extreme of an arm's swing. */
export interface ArmExtreme {
  readonly side: Side;
  readonly frame: number;
  /** Frame of the swing's other extreme. */
  readonly other: number;
  /** The frame it is drawn into, of a camera that moves; its own where not said. */
  readonly seenIn?: number;
}

/** An arm at one extreme of its swing; null where that has no direction. */
export function armLine(
  scale: Scale,
  { strides, places }: TrialReadings,
  { side, frame, other, seenIn = frame }: ArmExtreme,
): ArmLine | null {
  const [now, next] = [armIn(places, side, frame), armIn(places, side, other)];
  const swing = now && next && { now, next, middle: (frame + other) / 2 };
  return swing && drawn(scale, seenIn, strides, side, swing);
}

/** The direction of the swing whose middle is in this frame, and the number of the stride it belongs to. */
export function swingReading(
  strides: readonly Stride[],
  side: Side,
  middle: number,
): { readonly reading: Reading; readonly stride: number } | null {
  const stride = strideAt(strides, (s) => s.blade_off_frame, middle);
  return stride ? { reading: stride.armSwingDirectionDeg[side], stride: stride.stride } : null;
}

interface Swing {
  readonly now: Arm;
  readonly next: Arm;
  /** Middle of its two frames. */
  readonly middle: number;
}

function armIn(places: readonly PlacedPoint[], side: Side, frame: number): Arm | null {
  const of = (point: (typeof JOINTS)[number]) =>
    places.find((p) => p.frame === frame && p.side === side && p.point === point);
  const [shoulder, elbow, wrist] = JOINTS.map(of);
  return shoulder && elbow && wrist ? { shoulder, elbow, wrist } : null;
}

function drawn(
  scale: Scale,
  frame: number,
  strides: readonly Stride[],
  side: Side,
  { now, next, middle }: Swing,
): ArmLine | null {
  const found = swingReading(strides, side, middle);
  if (!found || found.reading.value === null) return null;
  const { reading, stride } = found;
  const [before, after] = [strides[stride - 2]?.off, strides[stride]?.off];
  if (!before || !after) return null;
  const length = Math.hypot(after.x - before.x, after.y - before.y);
  const along = { x: (after.x - before.x) / length, y: (after.y - before.y) / length };
  const reach = ({ shoulder, wrist }: Arm) => ({ x: wrist.x - shoulder.x, y: wrist.y - shoulder.y });
  const [a, b] = [reach(now), reach(next)];
  const ahead = (p: { readonly x: number; readonly y: number }) => p.x * along.x + p.y * along.y;
  const [front, back] = ahead(a) >= ahead(b) ? [a, b] : [b, a];
  const travel = { x: front.x - back.x, y: front.y - back.y };
  const size = Math.hypot(travel.x, travel.y);
  const off =
    (Math.asin(Math.min(1, Math.abs(along.x * travel.y - along.y * travel.x) / size)) * 180) / Math.PI;
  if (!(Math.abs(off - reading.value) <= SAME_DEG)) return null;
  const { shoulder } = now;
  const below = (p: { readonly x: number; readonly y: number }) =>
    scale.toPicture(shoulder.x + p.x, shoulder.y + p.y, 0, frame);
  const centre = { x: (front.x + back.x) / 2, y: (front.y + back.y) / 2 };
  const long = Math.max(size, TRAVEL);
  const straight = (by: number) =>
    below({ x: centre.x + (by * long * along.x) / 2, y: centre.y + (by * long * along.y) / 2 });
  const seen = (arm: Arm) =>
    JOINTS.map((point) => {
      const { x, y, z } = arm[point];
      const [dx, dy, dz] = [x - arm.shoulder.x, y - arm.shoulder.y, z - arm.shoulder.z];
      return scale.toPicture(shoulder.x + dx, shoulder.y + dy, shoulder.z + dz, frame);
    });
  const all = [...seen(now), ...seen(next), below(back), below(front), straight(-1), straight(1)];
  if (all.some((p) => p === null)) return null;
  const [s1, e1, w1, s2, e2, w2, p1, p2, t1, t2] = all as PicturePoint[];
  return {
    side,
    joints: [s1!, e1!, w1!],
    other: [s2!, e2!, w2!],
    swing: [p1!, p2!],
    travel: [t1!, t2!],
    value: reading.value,
    u95: reading.u95,
  };
}
