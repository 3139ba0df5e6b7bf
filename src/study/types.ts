/**
 * The study as plain data: exactly what people did, nothing derived.
 *
 * Bare numbers are SI (metres, seconds). Picture coordinates say so in their name (`xPx`): pixels of the
 * picture as displayed, x right, y down, the centre of the top-left pixel is (0, 0). Ice frame: x along the
 * lane from the start line towards the finish, y to the skater's left, z up, ice is z = 0.
 */
import type { Conditions } from "./conditions.ts";
import type { TrialMarks } from "./marks.ts";
import type { Band, Plan } from "./plan.ts";
import type { CameraPlan, CameraSetup } from "./setups.ts";

export type { Conditions } from "./conditions.ts";
export type {
  ArmJoint,
  EventFrame,
  EventName,
  FramePoints,
  GatePassing,
  IcePlace,
  IcePoint,
  IceRecheck,
  IceReference,
  KeptSound,
  KnownLength,
  Mark,
  MarkedPicture,
  NotSeen,
  Origin,
  Picture,
  PointName,
  Side,
  StraightLine,
  SuggestedEvent,
  SuggestedMark,
  TrialMarks,
} from "./marks.ts";
export type { Band, LockedPlan, Plan, PlanChange, PlanContent } from "./plan.ts";
export type {
  Bend,
  CameraPlan,
  CameraSetup,
  ClipMotion,
  LearnedBend,
  Lens,
  LikeClip,
  SetupTrial,
} from "./setups.ts";

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
