import type { Study } from "./types.ts";

/** Standard uncertainty of one mark per coordinate until the observer's own repeat marks say better, px. */
export const DEFAULT_MARK_SD_PX = 1.5;

/** A study nobody has planned yet. A lane of 0 m means: not said. */
export function newStudy(): Study {
  return {
    format: "blademark.study",
    version: 1,
    question: "",
    lane: { distance: 0, unit: "m", gates: [], gateBeam: "not said", start: "not said" },
    skaters: [],
    techniques: [],
    trials: [],
    clips: [],
    markSdPx: DEFAULT_MARK_SD_PX,
    worthwhile: null,
    compare: null,
  };
}
