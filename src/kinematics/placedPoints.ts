import type { EventFrame, Side } from "../study/types.ts";
import { otherSide, sideSign } from "./across.ts";
import type { UncertainPoint } from "./airborne.ts";
import { armMotion } from "./armMotion.ts";
import type { Vector } from "./armPose.ts";
import { swingOf } from "./armSwing.ts";
import { midHip, outwardOfHip } from "./midHip.ts";
import { recoveringBlade } from "./recoveryToMidline.ts";
import type { StrideEvents } from "./strideOrder.ts";
import type { TrialGeometry } from "./trialGeometry.ts";
import type { PlacedPoint, RecoveryPlace } from "./types.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/**
 * Every point of body and blade whose place is known, each as the readings place it: blades on the ice at events,
 * the recovering blade where it is nearest, mid-hip, and arm joints where the coach said what is toward the camera.
 * What a view cannot show is left out.
 */
export function placedPoints(trial: TrialGeometry, events: readonly EventFrame[]): PlacedPoint[] {
  const placed = new Map<string, PlacedPoint>();
  const add = (point: PlacedPoint) => {
    const key = `${point.frame} ${point.side} ${point.point}`;
    if (!placed.has(key)) placed.set(key, point);
  };
  for (const stride of trial.strides) {
    for (const event of [stride.off, stride.on]) {
      if (!event) continue;
      for (const side of onIce(stride, event)) {
        const place = trial.tryPlace(event.frame, side);
        if (!place) continue;
        const { frame } = event;
        add({ frame, side, point: "blade", x: place.x.value, y: place.y.value, z: 0 });
        for (const point of ["blade_heel", "blade_toe"] as const) {
          const end = trial.pointOnIce(frame, side, point);
          add({ frame, side, point, x: end.x.value, y: end.y.value, z: 0 });
        }
      }
    }
    const line = had(() => trial.travelLine(stride.stride));
    if (!line) continue;
    for (const event of [stride.off, stride.on]) {
      const hip = event && had(() => midHip(trial, event.frame, line));
      if (hip) add({ frame: event.frame, side: null, point: "mid_hip", ...numbersOf(hip) });
    }
    const nearest = had(() => recoveringBlade(trial, stride.stride));
    if (!nearest) continue;
    add({ frame: nearest.frame, side: stride.side, point: "blade", ...numbersOf(nearest.place) });
    const hip = had(() => midHip(trial, nearest.frame, nearest.line));
    if (hip) add({ frame: nearest.frame, side: null, point: "mid_hip", ...numbersOf(hip) });
  }
  for (const side of ["left", "right"] as const)
    for (const { stride } of trial.strides)
      for (const joint of armJoints(trial, events, stride, side)) add(joint);
  return [...placed.values()].sort((a, b) => a.frame - b.frame);
}

/** Where the recovering blade of stride `n` is nearest, and the midline across from it; null where it is not known. */
export function recoveryPlace(trial: TrialGeometry, n: number): RecoveryPlace | null {
  return had(() => {
    const { side } = trial.strides[n - 1]!;
    const { frame, line, place } = recoveringBlade(trial, n);
    const hip = midHip(trial, frame, line);
    const out = sideSign(side) * outwardOfHip(side, place, hip, line).value;
    const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
    const length = Math.hypot(dx, dy);
    const blade = numbersOf(place);
    return {
      frame,
      blade,
      hip: numbersOf(hip),
      midline: { x: blade.x + (out * dy) / length, y: blade.y - (out * dx) / length },
    };
  });
}

/** The stride's own blade, and the other one, which stands while this one leaves the ice. */
function onIce({ side, off }: StrideEvents, event: EventFrame): readonly Side[] {
  return event === off ? [side, otherSide(side)] : [side];
}

/** Without the answers a joint has two places, so it is left out, and so is what hangs on it. */
function armJoints(
  trial: TrialGeometry,
  events: readonly EventFrame[],
  stride: number,
  side: Side,
): PlacedPoint[] {
  const found = had(() => {
    const swing = swingOf(trial, events, stride, side);
    return {
      swing,
      motion: trial.remember(`arm ${side} ${stride}`, () => armMotion(trial, swing, side, stride)),
    };
  });
  if (!found) return [];
  const { swing, motion } = found;
  return ([swing.front, swing.back] as const).flatMap((event, k) => {
    const { frame, elbowTowardCamera: elbow, wristTowardCamera: wrist } = event;
    const joints = motion.joints(k as 0 | 1, { elbow, wrist });
    const at = (point: "shoulder" | "elbow" | "wrist"): PlacedPoint => {
      const [x, y, z]: Vector = joints[point];
      return { frame, side, point, x, y, z };
    };
    if (elbow === undefined) return [at("shoulder")];
    return wrist === undefined ? [at("shoulder"), at("elbow")] : [at("shoulder"), at("elbow"), at("wrist")];
  });
}

function numbersOf({ x, y, z }: UncertainPoint): { x: number; y: number; z: number } {
  return { x: x.value, y: y.value, z };
}

function had<T>(find: () => T): T | null {
  try {
    return find();
  } catch (error) {
    if (error instanceof Unmeasurable) return null;
    throw error;
  }
}
