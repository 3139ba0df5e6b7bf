import { frameClock } from "../../electron/commands/frameClock.ts";
import { MeasureError } from "../../src/errors.ts";
import { measureJson } from "../../src/kinematics/measureJson.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { measureTrialDrawn } from "../../src/kinematics/measureTrialDrawn.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";
import {
  readEventsCsv,
  readIcePointFramesCsv,
  readIcePointsCsv,
  readMarksCsv,
} from "../../src/study/tables.ts";
import type { FilmedTrial } from "./film.ts";

const SEED_OF_DRAWS = 1;

/*
 * The one place where the validation touches the project: tables in, measure document out, by the same steps as
 * `blademark measure`. `throughTheCommand.test.ts` checks that the command prints the same.
 */

export interface Figure {
  readonly value: number | null;
  readonly u95?: number;
  readonly at_frame?: number;
  /** 95 % interval by drawing, where it was asked for. */
  readonly monte_carlo?: { readonly low: number; readonly high: number };
  readonly why?: string;
}

export type MeasuredStride = { readonly stride: number; readonly side: "left" | "right" } & {
  readonly arm_swing_direction_deg: { readonly left: Figure; readonly right: Figure };
  readonly arm_swing_angle_deg: { readonly left: Figure; readonly right: Figure };
} & Readonly<Record<string, Figure>>;

export interface MeasureDocument {
  readonly scale: { readonly why?: string; readonly warnings?: readonly { readonly code: string }[] };
  readonly strides: readonly MeasuredStride[];
  readonly trial: Readonly<
    Record<
      string,
      {
        readonly mean?: number;
        readonly u95?: number;
        readonly n?: number;
        readonly why?: string;
        readonly left?: SideMean;
        readonly right?: SideMean;
      }
    >
  >;
  readonly warnings: readonly { readonly code: string; readonly text: string }[];
}

interface SideMean {
  readonly mean?: number | null;
  readonly n?: number;
}

/**
 * What the core says of a trial, or the sentence with which it refuses all of it.
 *
 * @param draws of the Monte Carlo intervals; 0 = without them
 * @param changed what of a person's input stands in no table
 */
export function measureTables(
  film: FilmedTrial,
  markSdPx: number,
  draws = 0,
  changed: (input: MeasureInput) => MeasureInput = (input) => input,
): MeasureDocument | string {
  try {
    const marks = readMarksCsv(film.tables.marks);
    const clock = frameClock(marks);
    const { upper_arm: upperArm, forearm, hip_height: hipHeight, blade } = film.body;
    const input = changed({
      marks,
      events: readEventsCsv(film.tables.events, clock.timeOf),
      iceReference: film.follows
        ? { kind: "ice-points-by-frame", frames: readIcePointFramesCsv(film.tables.ice) }
        : { kind: "ice-points", points: readIcePointsCsv(film.tables.ice) },
      picture: film.picture,
      frameInterval: null,
      speedFactor: 1,
      body: {
        ...{ upperArm: upperArm!, forearm: forearm! },
        ...(hipHeight !== undefined && { hipHeight }),
        ...(blade !== undefined && { blade }),
      },
      markSdPx,
      markSdIsKnown: true,
      ...(film.lens === null ? {} : { lens: film.lens }),
    });
    const readings =
      draws === 0 ? measureTrial(input) : measureTrialDrawn(input, randomNumbers(SEED_OF_DRAWS), draws);
    const warnings = [...readings.warnings, ...clock.warnings()];
    return measureJson({ ...readings, warnings }) as MeasureDocument;
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}
