import type { EventFrame, Side } from "../../study/types.ts";
import type { Vector } from "../arms/armPose.ts";
import { motionOf, swingOf } from "../arms/armSwing.ts";
import { recoveringBlade } from "../quantities/recoveryToMidline.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import type { PlacedPoint, RecoveryPlace } from "../types.ts";
import { otherSide, sideSign } from "./across.ts";
import type { UncertainPoint } from "./airborne.ts";
import { pointOnIce, tryPlace } from "./bladePlaces.ts";
import { midHip, outwardOfHip } from "./midHip.ts";
import { slot } from "./notebook.ts";
import type { StrideEvents } from "./strideOrder.ts";
import { travelLine } from "./travelLine.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

const OF_STRIDE = slot<number, PlacedPoint[]>();
const OF_ARM = { left: slot<number, PlacedPoint[]>(), right: slot<number, PlacedPoint[]>() };

/**
 * Every point of body and blade whose place is known, each as the readings place it: blades on the ice at events,
 * the recovering blade where it is nearest, mid-hip, and arm joints where the coach said what is toward the camera.
 * What a view cannot show is left out.
 */
export function placedPoints(trial: TrialGeometry, events: readonly EventFrame[]): PlacedPoint[] {
  const found = [
    ...trial.strides.flatMap((stride) =>
      trial.remember(OF_STRIDE, stride.stride, () => pointsOf(trial, stride)),
    ),
    ...(["left", "right"] as const).flatMap((side) =>
      trial.strides.flatMap(({ stride }) =>
        trial.remember(OF_ARM[side], stride, () => armJoints(trial, events, stride, side)),
      ),
    ),
  ];
  const placed = new Map<number, PlacedPoint>();
  for (const point of found) {
    const key = numberOf(point);
    if (!placed.has(key)) placed.set(key, point);
  }
  return [...placed.values()].sort((a, b) => a.frame - b.frame);
}

const NUMBERS: Readonly<Record<PlacedPoint["point"], number>> = {
  blade_heel: 0,
  blade_toe: 1,
  blade: 2,
  mid_hip: 3,
  shoulder: 4,
  elbow: 5,
  wrist: 6,
};

/** Tells placed points of a trial apart. */
function numberOf({ frame, side, point }: PlacedPoint): number {
  return 32 * frame + 8 * (side === null ? 2 : side === "left" ? 0 : 1) + NUMBERS[point];
}

/** Blades and mid-hip at a stride's contacts and where its recovery is nearest. */
function pointsOf(trial: TrialGeometry, stride: StrideEvents): PlacedPoint[] {
  const points: PlacedPoint[] = [];
  for (const event of [stride.off, stride.on]) {
    if (!event) continue;
    for (const side of onIce(stride, event)) {
      const place = tryPlace(trial, event.frame, side);
      if (!place) continue;
      const { frame } = event;
      points.push({ frame, side, point: "blade", x: place.x.value, y: place.y.value, z: 0 });
      for (const point of ["blade_heel", "blade_toe"] as const) {
        const end = pointOnIce(trial, frame, side, point);
        points.push({ frame, side, point, x: end.x.value, y: end.y.value, z: 0 });
      }
    }
  }
  const line = had(() => travelLine(trial, stride.stride));
  if (!line) return points;
  for (const event of [stride.off, stride.on]) {
    const hip = event && had(() => midHip(trial, event.frame, line));
    if (hip) points.push({ frame: event.frame, side: null, point: "mid_hip", ...numbersOf(hip) });
  }
  const nearest = had(() => recoveringBlade(trial, stride.stride));
  if (!nearest) return points;
  points.push({ frame: nearest.frame, side: stride.side, point: "blade", ...numbersOf(nearest.place) });
  const hip = had(() => midHip(trial, nearest.frame, nearest.line));
  if (hip) points.push({ frame: nearest.frame, side: null, point: "mid_hip", ...numbersOf(hip) });
  return points;
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
      motion: motionOf(trial, swing, side, stride),
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
