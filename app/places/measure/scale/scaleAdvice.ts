import type { Scale } from "../../../../src/ice/types.ts";
import type { EventFrame, IcePoint, IceReference } from "../../../../src/study/types.ts";
import type { Derived } from "../../../store/readings.ts";
import type { Tool } from "../core/tool.ts";
import type { ScaleAdvice } from "./advice.ts";
import { movingAdvice } from "./movingAdvice.ts";
import type { SharedScale } from "./scaleHere.ts";

/** Fewest ice points that give a scale, and how many are asked for. */
export const LEAST_POINTS = 4;
export const ASKED_POINTS = 6;

/** What is known of a trial's scale besides its own reference. */
export interface ScaleHere {
  readonly shared?: SharedScale | null;
  /** What is fitted. */
  readonly scale?: Derived<Scale> | null;
}

/** What to do next for the scale, in words. */
export function scaleAdvice(
  reference: IceReference | null,
  tool: Tool,
  frame: number,
  events: readonly EventFrame[],
  { shared = null, scale = null }: ScaleHere = {},
): ScaleAdvice {
  const points = reference?.kind === "ice-points" ? reference.points : [];
  const enough =
    (points.length >= ASKED_POINTS && !shared?.refused) ||
    (shared !== null && shared.by !== "said" && !shared.refused) ||
    (reference?.kind === "known-lengths" && reference.lengths.length > 0);
  const done = enough === true;
  if (tool.kind === "recheck") {
    return {
      done,
      title: `Once more: ${tool.label}`,
      hint: "Press it exactly, here on this frame. If the camera was bumped since, the two disagree and it is said beside the fit.",
    };
  }
  if (tool.kind === "ice-point") {
    const { label, x, y } = tool.point;
    return {
      done,
      title: `Ice point: ${label}`,
      hint: `Press where it is on the ice (${x.toFixed(2)} m along, ${acrossWords(y)}), drag to adjust, let go.`,
    };
  }
  if (tool.kind === "line") {
    return {
      done: false,
      title: tool.line === null ? "A straight line: its first point" : "The straight line: its next point",
      hint: "Press along one edge of it, from end to end: five points or more, far from the picture's middle. Enter ends the line.",
    };
  }
  if (tool.kind === "length") {
    return {
      done,
      title: tool.from ? "Known length: the other end" : "Known length: one end",
      hint: "Press exactly on the end, where it lies on the ice.",
    };
  }
  if (reference?.copiedFrom !== undefined) {
    return {
      done: false,
      title: "Copied scale: does it fit this clip?",
      hint: "No metres until that is shown: look whether every square sits on its place here, zoomed in; drag any that does not. If most do not, mark the ice points anew.",
    };
  }
  if (shared) return sharedAdvice(shared, points.length);
  if (reference?.kind === "ice-points-by-frame") return movingAdvice(reference, frame, events, scale);
  if (reference?.kind === "known-lengths") {
    return {
      done,
      title: "Scale: known lengths",
      hint:
        reference.lengths.length > 1
          ? "Several lengths at different distances: better than one. Ice points are better still."
          : "One length is true only at its own distance from the camera. Lay another one nearer or farther, or use ice points.",
    };
  }
  const line = threeOnALine(points);
  const missing = LEAST_POINTS - points.length;
  if (line && points.length <= LEAST_POINTS) {
    return {
      done: false,
      title: "Three points on one line",
      hint: `${line.join(", ")} lie on one line. That gives no width: put the next points well to the side of it.`,
    };
  }
  if (points.length === 0) {
    return {
      done: false,
      title: "Set the scale of the ice",
      hint: "Choose a place on the ice in the list at the right, then press it on the frame. Six or more, spread over the part that is skated.",
    };
  }
  if (missing > 0) {
    return {
      done: false,
      title: `${points.length} of ${ASKED_POINTS} ice points`,
      hint: `Choose the next place. ${missing === 1 ? "One more gives" : `${missing} more give`} a scale; six or more can show a bad one.`,
    };
  }
  if (points.length < ASKED_POINTS) {
    return {
      done: true,
      title: `${points.length} of ${ASKED_POINTS} ice points`,
      hint: "There is a scale, but too few points to show a bad one. Dashed squares are where the others should be: press them too.",
    };
  }
  return {
    done: true,
    title: `Scale from ${points.length} ice points`,
    hint: "Arrows show how far each point lies from the fit, ten times as long. Drag a square to correct it, or go on.",
  };
}

function sharedAdvice({ name, by, refused }: SharedScale, own: number): ScaleAdvice {
  if (refused)
    return {
      done: false,
      title: `The clips of “${name}” give no scale together`,
      hint: "Why is said beside the fit. If this clip's camera stood elsewhere or was zoomed, take it out; its own ice points count again then.",
    };
  if (by === "said")
    return {
      done: false,
      title: `Does “${name}” fit this clip?`,
      hint: "No metres until that is shown: compare the backgrounds (under Same place as…), press two or three of the dashed places (where they lie far off, choose one in the list first), or say that all sit right, zoomed in.",
    };
  return {
    done: true,
    title: `Scale of “${name}”`,
    hint:
      own > 0
        ? "Ice points of all its clips give one scale. Drag a square to correct it, or go on."
        : "Ice points of its other clips give the scale. Two or three pressed here tell better how this clip's camera looked.",
  };
}

function acrossWords(y: number): string {
  if (y === 0) return "in the middle";
  return `${Math.abs(y).toFixed(2)} m ${y > 0 ? "left" : "right"} of the middle`;
}

/** Nearer to the line than this share of its length counts as on it. */
const THIN = 0.03;

/** Names of three ice points that lie (nearly) on one line; null when no three do. */
export function threeOnALine(points: readonly IcePoint[]): readonly string[] | null {
  for (let i = 0; i < points.length; i++)
    for (let j = i + 1; j < points.length; j++)
      for (let k = j + 1; k < points.length; k++) {
        const three = [points[i], points[j], points[k]] as IcePoint[];
        if (flat(three)) return three.map((p) => p.label);
      }
  return null;
}

function flat(three: readonly IcePoint[]): boolean {
  const [a, b, c] = three as [IcePoint, IcePoint, IcePoint];
  const area = Math.abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x));
  const longest = Math.max(
    Math.hypot(b.x - a.x, b.y - a.y),
    Math.hypot(c.x - a.x, c.y - a.y),
    Math.hypot(c.x - b.x, c.y - b.y),
  );
  return longest > 0 && area / longest < THIN * longest;
}
