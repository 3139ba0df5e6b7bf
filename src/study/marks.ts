import type { EVENT_NAMES, POINT_NAMES, SIDES } from "./names.ts";
import type { ClipMotion, Lens } from "./setups.ts";

export type Side = (typeof SIDES)[number];

export type PointName = (typeof POINT_NAMES)[number];

export type EventName = (typeof EVENT_NAMES)[number];

/**
 * How something confirmed came to be: by hand, a suggestion taken as it was, or one seen and moved. Absent = by hand; what was
 * suggested out of sight until the hand had marked (a blind check) is by hand too.
 */
export type Origin = "hand" | "accepted" | "moved";

/** What was suggested for a mark. */
export interface SuggestedMark {
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty per coordinate that was stated with it, px. */
  readonly uPx: number;
  readonly by: "pose" | "template";
  /** SHA-256 of the pose model's weights, hex. */
  readonly model: string;
  /** Frames whose confirmed marks it was learned from. */
  readonly templates: readonly number[];
  /** It was hidden until the hand had marked. */
  readonly blind?: boolean;
}

/** What was suggested for an event frame. */
export interface SuggestedEvent {
  readonly frame: number;
  readonly sdFrames: number;
  readonly model: string;
  readonly blind?: boolean;
}

/** One point of the body or blade put on one frame. At most one per frame, point, side, observer and pass. */
export interface Mark {
  readonly frame: number;
  /** The frame's own presentation time in the clip, seconds, first frame = 0. */
  readonly time: number;
  readonly point: PointName;
  readonly side: Side;
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty of this mark per coordinate, px; absent = the study's marking SD. */
  readonly uPx?: number;
  readonly observer?: string;
  readonly pass?: number;
  readonly from?: Origin;
  readonly suggested?: SuggestedMark;
}

/** A frame picked for what happens in it. `docs/contracts.md` says which frame each event names. */
export interface EventFrame {
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
  readonly time: number;
  /** Arm rows only: is the elbow (wrist) nearer the camera than the shoulder (elbow)? Absent = not said. */
  readonly elbowTowardCamera?: boolean;
  readonly wristTowardCamera?: boolean;
  /** Arm rows only: answers nobody gave here; they stand as they were given for this arm's extreme before. Absent = none. */
  readonly carried?: readonly ArmJoint[];
  readonly from?: Origin;
  readonly suggested?: SuggestedEvent;
}

export type ArmJoint = "elbow" | "wrist";

/** A point that was asked for on a frame and can't be seen there, so that it is not asked for again. */
export interface NotSeen {
  readonly frame: number;
  readonly point: PointName;
  readonly side: Side;
}

/** The first frame in which the front of the skater is at or past a gate, picked by eye. */
export interface GatePassing {
  /** Where the gate stands along the lane, metres from the start line, as in `lane.gates`. */
  readonly gate: number;
  readonly frame: number;
  /** The frame's own presentation time in the clip, seconds. */
  readonly time: number;
  /** How far of the way from the frame before to this one is gone when the front is at the gate, 0 to 1; absent = not said. */
  readonly share?: number;
}

/** A point whose place on the ice is known. `u` is the standard uncertainty of that place, metres. */
export interface IcePoint {
  readonly label: string;
  readonly xPx: number;
  readonly yPx: number;
  readonly x: number;
  readonly y: number;
  readonly uPx?: number;
  readonly u?: number;
  /** The frame it was put on. */
  readonly frame?: number;
}

/** A place on the ice by its name, before it is seen on any picture. */
export type IcePlace = Pick<IcePoint, "label" | "x" | "y" | "u">;

/** A length lying on the ice, both ends marked. */
export interface KnownLength {
  readonly x1Px: number;
  readonly y1Px: number;
  readonly x2Px: number;
  readonly y2Px: number;
  readonly length: number;
  readonly frame?: number;
  readonly u?: number;
}

/** Ice points marked on one frame, for a camera that pans or zooms. */
export interface FramePoints {
  readonly frame: number;
  readonly points: readonly IcePoint[];
}

/** An ice point marked again on a later frame, to see whether the camera still stands as it did. */
export interface IceRecheck {
  readonly frame: number;
  /** Of the ice point. */
  readonly label: string;
  readonly xPx: number;
  readonly yPx: number;
}

export type IceReference =
  | {
      readonly kind: "ice-points";
      readonly points: readonly IcePoint[];
      readonly lens?: Lens;
      readonly rechecks?: readonly IceRecheck[];
      readonly copiedFrom?: string;
    }
  | {
      readonly kind: "ice-points-by-frame";
      readonly frames: readonly FramePoints[];
      readonly lens?: Lens;
      /** Of the time between frames, what is taken from a frame's first row to its last (0 to 1), where that is known of the camera. */
      readonly readoutShare?: number;
      readonly copiedFrom?: string;
    }
  | {
      readonly kind: "known-lengths";
      readonly lengths: readonly KnownLength[];
      /** Trial on whose clip it was marked, until somebody has checked it on this one. */
      readonly copiedFrom?: string;
    };

/** Points pressed along something that is straight in life (a painted line, the boards' upper edge): they tell how the lens bends. */
export interface StraightLine {
  readonly points: readonly { readonly xPx: number; readonly yPx: number }[];
  /** The frame they were pressed on. */
  readonly frame?: number;
}

/** The size of a picture, px. */
export interface Picture {
  readonly width: number;
  readonly height: number;
}

/** What the marks of a trial were put on. Kept so that they can be measured without the clip. */
export interface MarkedPicture extends Picture {
  readonly clip: string;
  /** Median time between frames of the clip, seconds of clip time. */
  readonly frameInterval: number;
}

/** `marks/TRIAL.json` */
export interface TrialMarks {
  readonly format: "blademark.marks";
  readonly version: 1;
  readonly trial: string;
  readonly picture: MarkedPicture | null;
  readonly iceReference: IceReference | null;
  readonly straightLines?: readonly StraightLine[];
  readonly events: readonly EventFrame[];
  readonly marks: readonly Mark[];
  readonly notSeen?: readonly NotSeen[];
  /** For the clip's own time from gate to gate; at most one a gate. */
  readonly gatePassings?: readonly GatePassing[];
  /** Of this very clip. */
  readonly motion?: ClipMotion;
  /** Of a further view: what its clip's sound told, if somebody had it listened to. */
  readonly sound?: KeptSound;
}

/** What the sound of a further view's clip told of its clock against the first view's, once somebody had both listened to. */
export interface KeptSound {
  /** The clips that were listened to, this view's and the first one's: it counts only while they are those. */
  readonly clip: string;
  readonly with: string;
  /** As `soundLag` found it, seconds; null = it does not tell, and why. */
  readonly lag: {
    readonly offset: number;
    readonly sd: number;
    readonly at: number;
    readonly overlap: number;
    readonly rate: { readonly value: number; readonly sd: number; readonly seconds: number } | null;
  } | null;
  readonly why?: string;
}
