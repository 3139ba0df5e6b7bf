import type {
  EventFrame,
  EventName,
  Mark,
  PointName,
  Side,
  TrialMarks,
} from "../../../../src/study/types.ts";
import type { Pass } from "../core/pass.ts";
import type { Asked, Depth } from "./sequence.ts";

/**
 * The guide: what to ask for now, in words. Pure: the marks, the frame being looked at and the person's choices
 * in; one step out.
 */
export interface GuideInput {
  readonly marks: TrialMarks;
  readonly frame: number;
  /** Clip times of the frames that are ready, seconds. */
  readonly times: readonly number[];
  readonly speedFactor: number;
  readonly depth: Depth;
  /** The person said it is another event or the other side; null follows the order of the stride. */
  readonly override: Asked | null;
  /** A point of this frame to ask for again though it is there. */
  readonly askAgain: { readonly point: PointName; readonly side: Side } | null;
  /** Arm questions the person left open, as `questionKey`. */
  readonly leftOpen: readonly string[];
  /** Which marking of the trial this is. */
  readonly pass: Pass;
}

export type GuideStep =
  | {
      readonly kind: "pick-event";
      readonly event: EventName;
      readonly side: Side;
      readonly title: string;
      readonly hint: string;
      /** Frame to look at first, when the rhythm suggests one other than this. */
      readonly suggested: number | null;
    }
  | {
      readonly kind: "go-to-event";
      readonly event: EventFrame;
      readonly title: string;
      readonly hint: string;
    }
  | {
      readonly kind: "point";
      readonly point: PointName;
      readonly side: Side;
      readonly title: string;
      readonly hint: string;
      /** The mark it replaces, when asked again. */
      readonly replaces: Mark | null;
      /** How many of the frame's points are done, and how many there are. */
      readonly done: number;
      readonly of: number;
    }
  | {
      readonly kind: "arm-question";
      readonly event: EventFrame;
      readonly joint: "elbow" | "wrist";
      readonly title: string;
      readonly hint: string;
    }
  | { readonly kind: "all-again"; readonly title: string; readonly hint: string };
