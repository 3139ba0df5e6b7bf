import type { EventFrame, PointName, Side } from "../../../../src/study/types.ts";
import type { Placing } from "../../../picture/drawnMark.ts";
import type { Aimed } from "../../../picture/follow.ts";
import type { GuideStep } from "../guide/guideStep.ts";
import { other } from "../guide/sequence.ts";
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
  if (tool.kind === "line") return "straight line";
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

/**
 * The blade that is out to its side: it leaves the ice, or the other one comes down. On a frame that was picked, by what it was
 * picked for, though the question is about the next one already.
 */
export function pushing(step: GuideStep, events: readonly EventFrame[], frame: number): Side | null {
  const picked = events.filter((e) => e.frame === frame && /^blade/.test(e.event));
  const asked = picked.length > 0 || step.kind !== "pick-event" ? picked : [step];
  const off = asked.find((e) => e.event === "blade_off");
  const on = asked.find((e) => e.event === "blade_on");
  return off?.side ?? (on ? other(on.side) : null);
}
