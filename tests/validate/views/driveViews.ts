import { frameClock } from "../../../electron/commands/frameClock.ts";
import { MeasureError } from "../../../src/errors.ts";
import { measureJson } from "../../../src/kinematics/measureJson.ts";
import { measureTrial } from "../../../src/kinematics/measureTrial.ts";
import type { MeasureInput } from "../../../src/kinematics/types.ts";
import { readEventsCsv, readIcePointsCsv, readMarksCsv } from "../../../src/study/tables.ts";
import { measureViews } from "../../../src/views/measureViews.ts";
import { viewsJson } from "../../../src/views/viewsJson.ts";
import type { MeasureDocument } from "../drive.ts";
import type { FilmedView, FilmedViews } from "./filmViews.ts";

/*
 * Where the validation of several views touches the project: tables in, documents out, by the steps of `measure --view`.
 */

export interface ViewsDocument extends MeasureDocument {
  readonly views: readonly {
    readonly view: number;
    readonly offset_s: { readonly value: number; readonly u95: number };
    readonly rate: { readonly value: number; readonly u95: number };
  }[];
}

/** @param lengths whether limbs and hips are said */
export function inputOf(view: FilmedView, body: FilmedViews["body"] | null, markSdPx: number): MeasureInput {
  const marks = readMarksCsv(view.tables.marks);
  return {
    marks,
    events: readEventsCsv(view.tables.events, frameClock(marks).timeOf),
    iceReference: { kind: "ice-points", points: readIcePointsCsv(view.tables.ice) },
    picture: view.picture,
    frameInterval: null,
    speedFactor: 1,
    body: {
      ...(body?.upper_arm !== undefined && { upperArm: body.upper_arm }),
      ...(body?.forearm !== undefined && { forearm: body.forearm }),
      ...(body?.hip_height !== undefined && { hipHeight: body.hip_height }),
    },
    markSdPx,
    markSdIsKnown: true,
  };
}

/** What all views say together, or the sentence with which they are refused. */
export function measureAll(
  film: FilmedViews,
  body: FilmedViews["body"] | null,
  markSdPx = 1,
): ViewsDocument | string {
  return orCoach(
    () =>
      viewsJson(
        measureViews(film.views.map((view) => inputOf(view, body, markSdPx))),
      ) as unknown as ViewsDocument,
  );
}

/** What one view says alone. */
export function measureOne(
  view: FilmedView,
  body: FilmedViews["body"] | null,
  markSdPx = 1,
): MeasureDocument | string {
  return orCoach(
    () => measureJson(measureTrial(inputOf(view, body, markSdPx))) as unknown as MeasureDocument,
  );
}

function orCoach<T>(measure: () => T): T | string {
  try {
    return measure();
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}
