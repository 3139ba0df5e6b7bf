import type { NotMeasured, Warning } from "../reading.ts";

export interface PicturePoint {
  readonly xPx: number;
  readonly yPx: number;
}

/** Standard uncertainties of where a frame lies, px per coordinate, and of its turn and of its growth at a typical place, px. */
export interface FrameDoubt {
  readonly shiftPx: number;
  readonly turnPx: number;
}

/**
 * How the picture moves within a clip whose camera was meant to stand still, by its background: what is pressed on any frame is
 * measured where it would lie if the picture stood still.
 */
export interface SteadyPicture {
  /** Nothing is moved: the camera stood still as far as can be seen. */
  readonly isStill: boolean;
  /** A frame's point in the picture that stands still, and back. */
  still(p: PicturePoint, frame: number): PicturePoint;
  moved(p: PicturePoint, frame: number): PicturePoint;
  /** Distance from the picture's middle at which a turn or growth is worth its `turnPx`, px. */
  readonly reachPx: number;
  /** What is left open of a frame, an error of its own. */
  doubt(frame: number): FrameDoubt;
  /** The same of the ice points, alike for all frames: nobody said on which frame they were put, or it is not told there; null = no more than their own. */
  readonly common: FrameDoubt | null;
  /** Why nothing can be placed in a frame; null when it can. */
  whyNot(frame: number): string | null;
  readonly summary: MotionSummary;
  readonly warnings: readonly Warning[];
}

/** What the background says of a clip's own motion. */
export interface MotionSummary {
  readonly still: boolean | null;
  /** Standard deviation of one coordinate about the picture that stands still, px. */
  readonly jitterPx: { readonly value: number; readonly u95: number } | NotMeasured;
  /** What is left of it on frames that are told, px per coordinate (standard uncertainty). */
  readonly leftPx: number | null;
  readonly told: number;
  readonly frames: number;
  readonly bumps: readonly { readonly frame: number; readonly dxPx: number; readonly dyPx: number }[];
}

/** How one ice point disagrees with the fit. */
export interface IceResidual {
  readonly label: string;
  /** Where the camera moves: the frame it is marked on. */
  readonly frame?: number;
  readonly dxPx: number;
  readonly dyPx: number;
  /** The same disagreement on the ice, metres. */
  readonly distance: number;
  /** The part of it across the lane (along y), metres, without sign. */
  readonly across: number;
}

/**
 * A fitted ice reference: picture to ice and back.
 * What `fitScale` (src/ice/fitScale.ts) returns; it throws MeasureError where the reference is refused.
 */
export interface Scale {
  readonly summary: ScaleSummary;
  /** Why nothing is measured with it: it can be drawn and looked at, but nothing shows yet that it holds for this clip. */
  readonly unprovenWhy?: string;
  readonly residuals: readonly IceResidual[];
  /** Outline of the reference on the ice (convex hull), metres; empty for known lengths. */
  readonly hull: readonly { readonly x: number; readonly y: number }[];
  /**
   * The point of the ice seen at a picture point; null above the horizon or where this kind of scale has no
   * such answer (known lengths). Only for points that ARE on the ice. Where the camera moves it needs the frame,
   * and is null in a frame without ice points.
   */
  toIce(p: PicturePoint, frame?: number): { readonly x: number; readonly y: number } | null;
  /** Where a point at (x, y, z) metres is seen; null behind the camera, or z > 0 without a camera. */
  toPicture(x: number, y: number, z?: number, frame?: number): PicturePoint | null;
  /** Whether the background carries a moving camera to a frame without ice points enough; absent = to none. */
  carries?(frame: number): boolean;
}

/** Radial lens coefficients in use (`u95K1` null where given; `learnedOn`: another set-up of the same camera), or why none are. */
export type LensSummary =
  | {
      readonly from: "given" | "ice points" | "straight lines" | "set-up";
      readonly k1: number;
      readonly k2: number;
      readonly u95K1: number | null;
      readonly learnedOn?: string;
    }
  | NotMeasured;

/** What ice points marked again on later frames say of whether the camera stood still. */
export interface StillSummary {
  readonly points: number;
  readonly frames: number;
  readonly moved: boolean;
  /** A shift of the picture that the check just sees, at the frame and in the direction where it sees least, px. */
  readonly leastPx: number;
}

/** A number with the half-width of its 95 % interval. */
interface Known {
  readonly value: number;
  readonly u95: number;
}

/** What the clips of a camera set-up say together. */
export interface SetupSummary {
  readonly id: string;
  readonly name: string;
  /** Those that are placed, in the set-up's order, and where the background of the first is seen in each, at the picture's centre. */
  readonly clips: readonly {
    readonly trial: string;
    /** Ice points marked on it. */
    readonly points: number;
    /** How it is placed: by its own points, or how it is known to be like another clip. */
    readonly by: "points" | "said" | "looked" | "background";
    readonly dxPx: Known;
    readonly dyPx: Known;
    readonly turnDeg: Known;
  }[];
  /** Trials of the set-up of whose camera nothing is known yet. */
  readonly left: readonly string[];
  /** Ice points marked on other clips that serve this one. */
  readonly sharedPoints: number;
}

/** What the background adds to the ice points of a camera that pans or zooms. */
export interface FollowedSummary {
  /** Frames without ice points enough that it carries the scale to, and how many it was looked at on. */
  readonly carried: number;
  readonly frames: number;
  /** Between each two frames with ice points: how far the background, followed from one, ends aside of the other's, px. */
  readonly gapsPx: readonly number[];
  /** Of the time from frame to frame, what the shutter takes from the first row to the last. */
  readonly shutter: Known;
}

export interface ScaleSummary {
  readonly kind: "ice-points" | "ice-points-by-frame" | "known-lengths";
  readonly points: number;
  /** Where the camera moves: how many frames have ice points. */
  readonly frames?: number;
  readonly rmsPx: number | null;
  /** The same misfit on the ice, metres. */
  readonly rms: number | null;
  /** The part of it across the lane, where widths lie, metres; null where lengths alone make the scale. */
  readonly rmsAcross: number | null;
  readonly camera: {
    readonly x: number;
    readonly y: number;
    readonly height: number;
    /** Half-widths of 95 % of x, y and height, metres. */
    readonly u95Place: readonly [number, number, number];
    readonly focalPx: number;
    readonly u95FocalPx: number;
  } | null;
  /** Ice points of a static camera marked again on later frames; absent where none were. */
  readonly still?: StillSummary;
  /** Where the clip belongs to a camera set-up. */
  readonly setup?: SetupSummary;
  /** Where the camera moves and its clip's background has been followed. */
  readonly followed?: FollowedSummary;
  /** Where the clip's background has been looked at. */
  readonly motion?: MotionSummary;
  /** Known lengths leave the lens alone: null, or where one is given why it is not used. */
  readonly lens: LensSummary | null;
  readonly warnings: readonly Warning[];
}
