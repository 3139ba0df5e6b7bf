import type { Mark } from "../study/types.ts";

/** A mark in words: "left blade's heel end". */
export function pointWords(point: Mark["point"], side: Mark["side"]): string {
  if (point === "blade_heel") return `${side} blade's heel end`;
  if (point === "blade_toe") return `${side} blade's toe end`;
  return `${side} ${point}`;
}
