import type { Quantity } from "../quantities/catalogue.ts";
import type { CompareQuantity } from "../quantities/compared.ts";
import type { Conditions } from "./conditions.ts";
import type { EVENT_NAMES, POINT_NAMES, SIDES } from "./names.ts";
import type { CameraPlan, CameraSetup, ClipMotion, Lens } from "./setups.ts";

export type { Conditions } from "./conditions.ts";
export type { CameraPlan, CameraSetup, ClipMotion, Lens, LikeClip, SetupTrial } from "./setups.ts";

/**
 * The study as plain data: exactly what people did, nothing derived.
 *
 * Bare numbers are SI (metres, seconds). Picture coordinates say so in their name (`xPx`): pixels of the
 * picture as displayed, x right, y down, the centre of the top-left pixel is (0, 0). Ice frame: x along the
 * lane from the start line towards the finish, y to the skater's left, z up, ice is z = 0.
 */
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
      readonly copiedFrom?: string;
    }
  | {
      readonly kind: "known-lengths";
      readonly lengths: readonly KnownLength[];
      /** Trial on whose clip it was marked, until somebody has checked it on this one. */
      readonly copiedFrom?: string;
    };

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
  readonly events: readonly EventFrame[];
  readonly marks: readonly Mark[];
  readonly notSeen?: readonly NotSeen[];
  /** For the clip's own time from gate to gate; at most one a gate. */
  readonly gatePassings?: readonly GatePassing[];
  /** Of this very clip. */
  readonly motion?: ClipMotion;
}

/** Lengths of the body, metres. `hipHeight` is the crouched hip height while sprinting, not standing; `blade` the runner's. */
export interface Body {
  readonly hipHeight?: number;
  readonly upperArm?: number;
  readonly forearm?: number;
  readonly stature?: number;
  readonly blade?: number;
}

export interface Skater {
  readonly id: string;
  readonly name: string;
  /** Shown instead of the name when names are left out. */
  readonly code: string;
  readonly body: Body;
}

/** The trial's mean of `quantity` should lie from `min` to `max` (either may be open). */
export interface Band {
  readonly quantity: Quantity;
  readonly min?: number;
  readonly max?: number;
}

export interface Technique {
  readonly id: string;
  readonly name: string;
  readonly asked: readonly Band[];
}

/** Where the lane lies on the rink: start line's middle and direction of travel, rink coordinates (origin centre spot). */
export interface LanePlacement {
  /** Key of a rink code in `src/ice/rink/rinkMarkings.ts`. */
  readonly rink: string;
  readonly startX: number;
  readonly startY: number;
  /** Direction of travel, degrees counter-clockwise from the rink's long axis (+x). */
  readonly headingDeg: number;
}

export interface Lane {
  /** Metres, exact conversion from what was typed. */
  readonly distance: number;
  /** The unit it was typed in, for showing it again. */
  readonly unit: "m" | "ft";
  /** Photocell positions along the lane, metres from the start line, increasing. */
  readonly gates: readonly number[];
  readonly gateBeam: "single" | "dual" | "not said";
  readonly start: "standing" | "flying" | "not said";
  readonly placement?: LanePlacement;
}

/** What a further clip of a trial is for: measured as well, the display with the time, or only to look at. */
export type ClipRole = "view" | "clock" | "look";

/** A clip of a trial beside its first one. */
export interface TrialClip {
  readonly clip: string;
  readonly role: ClipRole;
  /** Of a view only: names its marks, `marks/ID.json`, and is no trial's id. */
  readonly id?: string;
  /** As the trial's own; absent = 1. */
  readonly speedFactor?: number;
  /** Of the clock: a frame that shows the stopped time, and what the eye reads there, seconds. */
  readonly frame?: number;
  readonly shows?: number;
}

export interface Trial {
  readonly id: string;
  readonly skater: string;
  readonly technique: string;
  readonly repeat: number;
  readonly order: number;
  /** Photocell time, seconds; null = not skated or not typed yet. */
  readonly time: number | null;
  /** Without a photocell time the clip's own from gate to gate counts as this trial's, because somebody said so. */
  readonly timedBy?: "clip";
  readonly valid: boolean;
  readonly note?: string;
  /** The first view's. */
  readonly clip?: string;
  /** Further clips of the same run. */
  readonly clips?: readonly TrialClip[];
  /** Clip seconds per real second: 8 = the clip plays eight times slower than life. Real time = clip time / factor. */
  readonly speedFactor: number;
}

export interface ClipLink {
  readonly id: string;
  /** As shown: the file's name when it was added. */
  readonly name: string;
  /** Relative to the study folder, forward slashes; may lead out of it for linked clips. */
  readonly path: string;
  readonly bytes: number;
  /** SHA-256 of the content, hex; absent until it has been read once. */
  readonly sha256?: string;
  /** The part that matters, by frame numbers of the whole clip, both included; absent = all of it. */
  readonly part?: { readonly first: number; readonly last: number };
  /** Turned by hand for display, degrees clockwise on top of what the file says; absent = not. */
  readonly turn?: HandTurn;
}

export type HandTurn = 90 | 180 | 270;

/** What is marked of each stride, by the question: which events, and which points at them. */
export type MarkingDepth = "width" | "recovery" | "arms" | "everything";

/** What is decided before the first time is known. */
export interface PlanContent {
  readonly question: string;
  readonly techniques: readonly { readonly name: string; readonly asked: readonly Band[] }[];
  /** Names of the two compared first; null = not said. */
  readonly compared: { readonly a: string; readonly b: string } | null;
  /** What is compared first. */
  readonly quantity: CompareQuantity;
  /** Seconds; null = not said. */
  readonly worthwhile: number | null;
  /** Who said what is worth having, and when. */
  readonly saidBy: string;
  /** Codes, so that the plan names nobody. */
  readonly skaters: readonly string[];
  readonly trials: number;
  readonly stopWhen: string;
}

/** A part of a locked plan that was changed, as it was and as it is. */
export interface PlanChange {
  readonly part: keyof PlanContent;
  readonly from: unknown;
  readonly to: unknown;
  /** How many trials had a time by then. */
  readonly afterTrials: number;
  /** ISO 8601, UTC. */
  readonly date: string;
}

export interface LockedPlan {
  /** ISO 8601, UTC. */
  readonly date: string;
  readonly content: PlanContent;
  /** SHA-256 of `content` (`planHash`), hex. */
  readonly hash: string;
  readonly changes: readonly PlanChange[];
}

export interface Plan {
  readonly quantity?: CompareQuantity;
  readonly saidBy?: string;
  readonly stopWhen?: string;
  /** Absent = not locked. */
  readonly locked?: LockedPlan;
}

/** `study.json` */
export interface Study {
  readonly format: "blademark.study";
  readonly version: 1;
  readonly question: string;
  readonly lane: Lane;
  readonly skaters: readonly Skater[];
  readonly techniques: readonly Technique[];
  readonly trials: readonly Trial[];
  readonly clips: readonly ClipLink[];
  /** Standard uncertainty of one mark per coordinate, px. */
  readonly markSdPx: number;
  /** Smallest difference in time worth having, seconds; null = 0.2 of the SD between skaters. */
  readonly worthwhile: number | null;
  /** The two techniques Compare shows, ids; difference = b minus a. */
  readonly compare: { readonly a: string; readonly b: string } | null;
  /** How the run order was made last, so that it can be made again. */
  readonly runOrder?: { readonly seed: number; readonly repeats: number };
  /** The camera placement tried out in Plan; absent = none yet. */
  readonly cameraPlan?: CameraPlan;
  /** A second camera beside it; absent = one camera. */
  readonly secondCamera?: CameraPlan;
  /** Absent = as the techniques' bands need. */
  readonly markingDepth?: MarkingDepth;
  /** The evening, YYYY-MM-DD. */
  readonly date?: string;
  readonly conditions?: Conditions;
  /** What was decided beforehand. */
  readonly plan?: Plan;
  /** A trial is in one of them at most. */
  readonly setups?: readonly CameraSetup[];
}

/** Everything that undo covers: the study and the marks of each of its trials, by trial id. */
export interface WholeStudy {
  readonly study: Study;
  readonly marks: Readonly<Record<string, TrialMarks>>;
}
