/** What the window and the host send each other, the same through every door. */
import type { WholeStudy } from "./types.ts";

export interface OpenedStudy extends WholeStudy {
  /** Folder as shown to the person. */
  readonly folder: string;
  readonly readOnly: boolean;
  /** Things the person should know about how it opened (a damaged file set aside, a newer version). */
  readonly notices: readonly string[];
  readonly position: Position | null;
}

export interface Position {
  readonly place: Place;
  readonly trial: string | null;
  readonly frame: number;
}

export type Place = "plan" | "times" | "measure" | "compare" | "report";

export interface Saved {
  /** ISO 8601, the host's clock. */
  readonly savedAt: string;
}

/** Frame index of a clip as far as it is known. Frame n is the n-th picture of a plain decode. */
export interface ClipIndex {
  readonly clip: string;
  readonly state: "waiting" | "preparing" | "ready" | "stopped" | "failed";
  /** Frames that can be shown now: 0 … ready-1. */
  readonly ready: number;
  /** Frames in all; an estimate (`countIsExact` false) until the whole clip has been decoded. */
  readonly count: number;
  readonly countIsExact: boolean;
  /** Presentation times of the frames that are ready, seconds, first = 0. */
  readonly times: readonly number[];
  /** As displayed: rotation applied, square pixels. */
  readonly width: number;
  readonly height: number;
  readonly rotation: 0 | 90 | 180 | 270;
  readonly codec: string;
  readonly rateMedianHz: number | null;
  readonly variableRate: boolean;
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
  /** state "failed": what is wrong and what to do. */
  readonly failure: string | null;
}
