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
