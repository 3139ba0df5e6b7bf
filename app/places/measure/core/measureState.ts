import { createStore, type StoreApi } from "zustand/vanilla";
import { FIRST_PASS, type Pass } from "./pass.ts";
import type { Pace } from "./playOn.ts";
import { type IceCandidate, NO_TOOL, type Task, type Tool } from "./tool.ts";

/** What the person chose while measuring. Nothing of it is part of the study, and undo leaves it alone. */
export interface MeasureState {
  readonly task: Task;
  readonly tool: Tool;
  /** `markId` of the selected mark. */
  readonly selected: string | null;
  readonly leftOpen: readonly string[];
  readonly grid: boolean;
  readonly names: boolean;
  readonly keysShown: boolean;
  /** The frames at the gates are picked: their lines are drawn. */
  readonly gates: boolean;
  /** Places typed in this window that are not on the picture yet. */
  readonly typed: readonly IceCandidate[];
  /** There is more to mark than the rhythm says. */
  readonly markOn: boolean;
  /** The stride sheet stands in the picture's place. */
  readonly sheetOpen: boolean;
  /** Whether suggestions are looked for while the picture stands; null = nobody said. */
  readonly sheetLooking: boolean | null;
  /** The clip that is shown beside the one measured; null = none. */
  readonly beside: string | null;
  /** Which marking of the trial is being done. */
  readonly pass: Pass;
  readonly playing: boolean;
  readonly pace: Pace;
  /** One stride is played over and over. */
  readonly looping: boolean;
}

export type MeasureStore = StoreApi<MeasureState>;

export function createMeasureState(): MeasureStore {
  return createStore<MeasureState>(() => ({
    task: "strides",
    tool: NO_TOOL,
    selected: null,
    leftOpen: [],
    grid: false,
    names: false,
    keysShown: false,
    gates: false,
    typed: [],
    markOn: false,
    sheetOpen: false,
    sheetLooking: null,
    beside: null,
    pass: FIRST_PASS,
    playing: false,
    pace: 1,
    looping: false,
  }));
}

/** What belongs to one trial and is forgotten when another is opened. */
export const FRESH: Partial<MeasureState> = {
  tool: NO_TOOL,
  selected: null,
  leftOpen: [],
  markOn: false,
  sheetOpen: false,
  sheetLooking: null,
  gates: false,
  pass: FIRST_PASS,
  playing: false,
  looping: false,
};
