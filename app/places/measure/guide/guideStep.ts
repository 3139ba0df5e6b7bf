import type {
  ArmJoint,
  EventFrame,
  EventName,
  Mark,
  PointName,
  Side,
  TrialMarks,
} from "../../../../src/study/types.ts";
import type { Pass } from "../core/pass.ts";
import type { Rhythm } from "./rhythm.ts";
import type { Asked, AskedPoint, Depth } from "./sequence.ts";

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
  /** Arm questions whose answer was carried from the stride before and does not fit here, as `questionKey`. */
  readonly doubted: readonly string[];
  /** How the study's other trials go in time; null = there are none. */
  readonly others: Rhythm | null;
  /** Which marking of the trial this is. */
  readonly pass: Pass;
}

export type GuideStep =
  | {
      readonly kind: "pick-event";
      readonly event: EventName;
      readonly side: Side;
      /** Picked on the same frame with it. */
      readonly also: readonly Asked[];
      readonly title: string;
      readonly hint: string;
      /** Frame to look at first, when the rhythm suggests one other than this. */
      readonly suggested: number | null;
    }
  | {
      readonly kind: "go-to-event";
      readonly event: Asked & { readonly frame: number };
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
      /** The point that is put as well when the press is dragged on: the other end of a blade, the other hip. */
      readonly dragsTo: (AskedPoint & { readonly replaces: Mark | null }) | null;
      /** The event that this frame becomes with the first point put on it; null = it is picked already. */
      readonly becomes: Asked | null;
      /** How many of the frame's points are done, and how many there are. */
      readonly done: number;
      readonly of: number;
    }
  | {
      readonly kind: "arm-question";
      readonly event: EventFrame;
      readonly joint: ArmJoint;
      readonly title: string;
      readonly hint: string;
    }
  | { readonly kind: "all-again"; readonly title: string; readonly hint: string };
