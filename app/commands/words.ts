import type { EventName, PointName, Side } from "../../src/study/types.ts";

const POINT_WORDS: Record<PointName, (side: Side) => string> = {
  blade_heel: (side) => `${side} blade, heel end`,
  blade_toe: (side) => `${side} blade, toe end`,
  hip: (side) => `${side} hip`,
  shoulder: (side) => `${side} shoulder`,
  elbow: (side) => `${side} elbow`,
  wrist: (side) => `${side} wrist`,
};

/** "left blade, toe end" */
export function pointWords(point: PointName, side: Side): string {
  return POINT_WORDS[point](side);
}

/** Both ends of a piece: "left blade", "both hips", "left upper arm" */
export function pieceWords(first: { point: PointName; side: Side }, second: { side: Side }): string {
  if (first.side !== second.side) return "both hips";
  return first.point.startsWith("blade") ? `${first.side} blade` : `${first.side} upper arm`;
}

const EVENT_WORDS: Record<EventName, (side: Side) => string> = {
  blade_off: (side) => `${side} blade-off`,
  blade_on: (side) => `${side} blade-on`,
  recovery_min: (side) => `${side} blade nearest the midline`,
  arm_front: (side) => `${side} arm front`,
  arm_back: (side) => `${side} arm back`,
};

/** "left blade-off" */
export function eventWords(event: EventName, side: Side): string {
  return EVENT_WORDS[event](side);
}
