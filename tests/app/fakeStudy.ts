import { MeasureError } from "../../src/errors.ts";
import type { OpenedStudy } from "../../src/study/exchange.ts";
import type { IcePoint, Mark, MarkedPicture, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";

export const PICTURE: MarkedPicture = { clip: "c1", width: 1920, height: 1080, frameInterval: 1 / 60 };

/** Two trials of one skater with their clips; nothing marked. */
export function bareStudy(): WholeStudy {
  return {
    study: {
      format: "blademark.study",
      version: 1,
      question: "",
      lane: { distance: 30, unit: "m", gates: [0, 30], gateBeam: "single", start: "standing" },
      skaters: [{ id: "signe", name: "Signe", code: "S3", body: {} }],
      techniques: [{ id: "open", name: "open recovery", asked: [] }],
      trials: [
        {
          id: "t1",
          skater: "signe",
          technique: "open",
          repeat: 1,
          order: 1,
          time: 4.31,
          valid: true,
          clip: "c1",
          speedFactor: 1,
        },
        {
          id: "t2",
          skater: "signe",
          technique: "open",
          repeat: 2,
          order: 2,
          time: null,
          valid: true,
          clip: "c2",
          speedFactor: 1,
        },
      ],
      clips: [
        { id: "c1", name: "one.mp4", path: "clips/one.mp4", bytes: 1 },
        { id: "c2", name: "two.mp4", path: "clips/two.mp4", bytes: 1 },
      ],
      markSdPx: 1.5,
      worthwhile: null,
      compare: null,
    },
    marks: {},
  };
}

export function opened(whole: WholeStudy = bareStudy()): OpenedStudy {
  return {
    ...whole,
    folder: "Lake Orrin",
    readOnly: false,
    notices: [],
    position: null,
    owner: null,
    steps: [],
    stepsMade: 0,
    run: "run-1",
  };
}

export function marksWith(parts: Partial<TrialMarks>): TrialMarks {
  return { ...emptyMarks("t1"), picture: PICTURE, ...parts };
}

export function mark(parts: Partial<Mark> = {}): Mark {
  return { frame: 20, time: 20 / 60, point: "blade_heel", side: "left", xPx: 600, yPx: 400, ...parts };
}

/** Seen 100 px a metre, from 200 px down, unless it is said where. */
export const icePoint = (
  label: string,
  x: number,
  y: number,
  xPx = 100 * x,
  yPx = 200 + 100 * y,
): IcePoint => ({
  label,
  x,
  y,
  xPx,
  yPx,
});

/** The refusal `act` throws. Fails loudly when it throws nothing, or something that is no refusal. */
export function refusal(act: () => unknown): MeasureError {
  try {
    act();
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}
