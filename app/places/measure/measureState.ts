import { createStore, type StoreApi } from "zustand/vanilla";
import type { EventFrame, IcePoint, PointName, Side } from "../../../src/study/types.ts";
import { FIRST_PASS, type Pass } from "./repeatPass.ts";
import type { Asked, Depth } from "./sequence.ts";

/** A place on the ice that can be marked as an ice point: its name and where it is in the lane. */
export type IceCandidate = Pick<IcePoint, "label" | "x" | "y" | "u">;

/** What the person chose while measuring. Nothing of it is part of the study, and undo leaves it alone. */
export interface MeasureState {
  readonly task: "scale" | "strides";
  readonly depth: Depth;
  /** The event being moved to another frame. */
  readonly moving: EventFrame | null;
  /** Another event or side than the order of the stride says, until the next event is picked. */
  readonly override: Asked | null;
  /** `markId` of the selected mark. */
  readonly selected: string | null;
  readonly askAgain: { readonly point: PointName; readonly side: Side } | null;
  readonly leftOpen: readonly string[];
  readonly grid: boolean;
  readonly names: boolean;
  readonly keysShown: boolean;
  /** The ice point to be put next. */
  readonly candidate: IceCandidate | null;
  /** Places typed in this window that are not on the picture yet. */
  readonly typed: readonly IceCandidate[];
  /** First end of a known length that waits for its second. */
  readonly lengthFrom: { readonly xPx: number; readonly yPx: number } | null;
  /** True while the person is laying a known length. */
  readonly laying: { readonly length: number; readonly u: number | undefined } | null;
  /** Label of the ice point that is to be pressed again, to see whether the camera moved. */
  readonly rechecking: string | null;
  readonly cardCorner: "left" | "right";
  /** The frame on which the person chose the corner: the card stays there; null = none. */
  readonly cardHeldOn: number | null;
  /** Which marking of the trial is being done. */
  readonly pass: Pass;
}

export type MeasureStore = StoreApi<MeasureState>;

export function createMeasureState(): MeasureStore {
  return createStore<MeasureState>(() => ({
    task: "strides",
    depth: "full",
    moving: null,
    override: null,
    selected: null,
    askAgain: null,
    leftOpen: [],
    grid: false,
    names: false,
    keysShown: false,
    candidate: null,
    typed: [],
    lengthFrom: null,
    laying: null,
    rechecking: null,
    cardCorner: "left",
    cardHeldOn: null,
    pass: FIRST_PASS,
  }));
}

/** What belongs to one trial and is forgotten when another is opened. */
export const FRESH: Partial<MeasureState> = {
  cardHeldOn: null,
  moving: null,
  override: null,
  selected: null,
  askAgain: null,
  leftOpen: [],
  candidate: null,
  lengthFrom: null,
  laying: null,
  rechecking: null,
  pass: FIRST_PASS,
};
