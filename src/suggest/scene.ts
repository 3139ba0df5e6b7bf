import type { EventName, PointName, Side } from "../study/types.ts";
import type { FoundBlade } from "./blades.ts";
import type { Body } from "./body.ts";
import type { Rgba, Square } from "./pixels.ts";
import type { Lessons } from "./taught.ts";

/** What sees the clip. The same frames give the same answers, in the window and in the host. */
export interface Eyes {
  /** The body on every frame, by the quick model; missing where it was lost. */
  readonly bodies: readonly (Body | undefined)[];
  /** The slower, better model on one frame. */
  closely(frame: number, square: Square): Promise<Body>;
  picture(frame: number): Promise<Rgba>;
  /** Which model sees: SHA-256 of its weights. */
  readonly model: string;
  /**
   * Blades looked for before on this clip, by what they were looked for with; null = not found. It is added to, so that after
   * one more stride is confirmed only what that changes is looked for again. Absent: nothing is remembered.
   */
  readonly blades?: Map<string, FoundBlade | null>;
}

export interface SuggestedPoint {
  readonly frame: number;
  readonly point: PointName;
  readonly side: Side;
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty per coordinate, px, as learned on this clip. */
  readonly uPx: number;
  readonly from: "pose" | "template";
  /** Frames whose confirmed marks it was learned from. */
  readonly templates: readonly number[];
}

/** What is not suggested, and why, in words for a coach. */
export interface Refusal {
  readonly what: "events" | "blades" | "body" | "everything";
  readonly event?: EventName;
  readonly side?: Side;
  readonly frame?: number;
  readonly why: string;
}

/** What the parts of a suggestion share. */
export interface Scene {
  readonly lessons: readonly Lessons[];
  readonly eyes: Eyes;
  /** Bodies that lie wholly in the picture, by frame. */
  readonly whole: readonly (Body | undefined)[];
  /** The body's smoothed size by frame, px. */
  readonly sizes: (frame: number) => number;
  /** Real seconds between frames. */
  readonly realInterval: number;
}
