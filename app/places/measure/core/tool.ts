import type { PicturePoint } from "../../../../src/ice/types.ts";
import type { EventFrame, IcePlace, PointName, Side, TrialMarks } from "../../../../src/study/types.ts";
import type { Asked } from "../guide/sequence.ts";

/** A place on the ice that can be marked as an ice point: its name and where it is in the lane. */
export type IceCandidate = IcePlace;

export type Task = "scale" | "strides";

/**
 * What was taken up and is not done yet, so what the next press on the picture or the next frame picked is for. There
 * is one at a time: taking one up lets go of the one before.
 */
export type Tool =
  /** The guide alone says what is asked for. */
  | { readonly kind: "none" }
  | { readonly kind: "ice-point"; readonly point: IceCandidate }
  /** Metres. `from` is the first end, once it is put. */
  | {
      readonly kind: "length";
      readonly length: number;
      readonly u: number | undefined;
      readonly from: PicturePoint | null;
    }
  /** Points along a straight line; which one, from 0, once its first point is put. */
  | { readonly kind: "line"; readonly line: number | null }
  /** The ice point of that name is pressed again, to see whether the camera moved. */
  | { readonly kind: "recheck"; readonly label: string }
  /** The event is moved to another frame. */
  | { readonly kind: "move-event"; readonly event: EventFrame }
  /** Another event or side than the order of the stride says. */
  | { readonly kind: "ask-event"; readonly asked: Asked }
  /** A point that is there already is asked for again. */
  | { readonly kind: "ask-point"; readonly point: PointName; readonly side: Side };

export const NO_TOOL: Tool = { kind: "none" };

/** On to the scale or to the strides; what was taken up in the other is let go. */
export function toTask(task: Task): { readonly task: Task; readonly tool: Tool } {
  return { task, tool: NO_TOOL };
}

/** The tool, unless what it was taken up for is gone: undone, removed, or replaced by another kind of scale. */
export function standing(tool: Tool, { events, iceReference, straightLines = [] }: TrialMarks): Tool {
  if (tool.kind === "move-event") {
    const { event, side, frame } = tool.event;
    const there = events.some((e) => e.event === event && e.side === side && e.frame === frame);
    return there ? tool : NO_TOOL;
  }
  if (tool.kind === "line") return tool.line === null || straightLines[tool.line] ? tool : NO_TOOL;
  if (tool.kind === "recheck") {
    const there =
      iceReference?.kind === "ice-points" && iceReference.points.some((p) => p.label === tool.label);
    return there ? tool : NO_TOOL;
  }
  return tool;
}

export function markPoint(point: IceCandidate): Tool {
  return { kind: "ice-point", point };
}

/** The ice point that is to be put next; null = none. */
export function chosenPoint({ tool }: { readonly tool: Tool }): IceCandidate | null {
  return tool.kind === "ice-point" ? tool.point : null;
}
