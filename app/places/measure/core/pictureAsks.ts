import type { PointName } from "../../../../src/study/types.ts";
import type { Placing } from "../../../picture/drawnMark.ts";
import type { Aimed } from "../../../picture/follow.ts";
import type { GuideStep } from "../guide/guideStep.ts";
import type { Tool } from "./tool.ts";

/** What the picture is asked for by the question that stands under it. */

/** What a press puts; null = nothing. */
export function placing(step: GuideStep, tool: Tool): Placing | null {
  if (tool.kind === "move-event" || step.kind !== "point") return null;
  const { side, title, dragsTo } = step;
  return { side, label: title, ...(dragsTo ? { dragsTo: dragsTo.side } : {}) };
}

/** What a press puts for the scale; null = nothing. */
export function scalePlacing(tool: Tool): Placing | null {
  const label = scaleLabel(tool);
  return label === null ? null : { side: null, label };
}

function scaleLabel(tool: Tool): string | null {
  if (tool.kind === "recheck") return `${tool.label} again`;
  if (tool.kind === "ice-point") return tool.point.label;
  if (tool.kind === "length") return tool.from ? "other end" : "one end";
  return null;
}

/** What the question is about: so much of the skater is to be seen. */
export function aimed(step: GuideStep): Aimed {
  if (step.kind === "point") return AIMED[step.point] ?? "blades";
  if (step.kind === "arm-question") return "arms";
  const event = step.kind === "pick-event" ? step.event : null;
  return event === "arm_front" || event === "arm_back" ? "arms" : "blades";
}

const AIMED: Partial<Record<PointName, Aimed>> = {
  hip: "hips",
  shoulder: "arms",
  elbow: "arms",
  wrist: "arms",
};
