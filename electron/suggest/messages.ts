import type { TrialMarks } from "../../src/study/types.ts";
import type { Failure } from "../failure.ts";
import type { Following, Remembered } from "./lookAt.ts";

/** What is to be suggested from. */
export interface SuggestTask {
  readonly trial: string;
  readonly marks: TrialMarks;
  readonly start: Following["start"];
  readonly range: Following["range"];
  /** Real seconds between frames. */
  readonly realInterval: number;
}

/** From the host to the process that looks. */
export type ToLooker =
  | {
      readonly kind: "task";
      /** Which clip, as it is prepared: what was seen of another is forgotten. */
      readonly clip: string;
      readonly task: SuggestTask;
      /** What was seen of it in an earlier run of the program; null = nothing, or this process has it. */
      readonly remembered: Remembered | null;
    }
  | { readonly kind: "frame"; readonly frame: number; readonly jpeg: Uint8Array }
  | { readonly kind: "no-frame"; readonly frame: number; readonly why: string }
  | { readonly kind: "stop" };

/** And back. */
export type FromLooker =
  | { readonly kind: "want"; readonly frame: number }
  | { readonly kind: "progress"; readonly done: number; readonly of: number }
  /** `text`: what `suggest --json` prints. `remembered`: all that was seen, when some of it is new. */
  | { readonly kind: "done"; readonly text: string; readonly remembered: Remembered | null }
  | Failure;
