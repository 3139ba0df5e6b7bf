import { entryOf, STRIDE_QUANTITIES, type StrideQuantity } from "../../quantities/catalogue.ts";
import type { Reading } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { type ArmSwing, armSwing } from "../arms/armSwing.ts";
import { alongTrackSpeed, POSSIBLE_SPEED, speedLimit } from "../speed/alongTrackSpeed.ts";
import { tryPlace } from "../trial/bladePlaces.ts";
import type { Contact } from "../trial/contact.ts";
import { type Slot, slot } from "../trial/notebook.ts";
import { recoveryPlace } from "../trial/placedPoints.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { IcePlace, Stride } from "../types.ts";
import { FORMULAS } from "./formulas.ts";
import { attempt, ifPossible, type Outcome, readingOf, type Shown } from "./readingOf.ts";

/** What came of one quantity of one stride, and how it is shown. */
export interface Found {
  readonly outcome: Outcome;
  readonly reading: Reading;
}

const QUANTITY = Object.fromEntries(
  STRIDE_QUANTITIES.map((quantity) => [quantity, slot<number, Found>()]),
) as Readonly<Record<StrideQuantity, Slot<number, Found>>>;
const SPEED = slot<number, Found>();
const ARMS = slot<number, { readonly left: ArmReadings; readonly right: ArmReadings }>();
const STRIDE = slot<number, Stride>();

/** Where what is told of a stride is remembered, by stride. */
export const TOLD_IN = { ...QUANTITY, speed: SPEED, arms: ARMS };

/** One quantity of stride `n`. */
export function quantityOf(trial: TrialGeometry, quantity: StrideQuantity, n: number, shown: Shown): Found {
  return trial.remember(QUANTITY[quantity], n, () => {
    const { frame } = trial.strides[n - 1]!.off;
    const { possible, limit } = entryOf(quantity);
    const outcome = summedUp(
      trial,
      ifPossible(
        attempt(() => FORMULAS[quantity](trial, n)),
        possible,
        frame,
      ),
    );
    return { outcome, reading: readingOf(outcome, shown, limit) };
  });
}

/** Along-track speed around stride `n`. */
export function speedOf(trial: TrialGeometry, n: number, shown: Shown): Found {
  return trial.remember(SPEED, n, () => {
    const { frame } = trial.strides[n - 1]!.off;
    const outcome = summedUp(
      trial,
      ifPossible(
        attempt(() => alongTrackSpeed(trial, n)),
        POSSIBLE_SPEED,
        frame,
      ),
    );
    return { outcome, reading: readingOf(outcome, shown, speedLimit, "m/s") };
  });
}

/** What of an arm's swing is shown by itself. */
export type ArmReading = Exclude<keyof ArmSwing, "axis">;

export type ArmReadings = Readonly<Record<ArmReading, Found>> & Pick<ArmSwing, "axis">;

/** Both arms' swings of stride `n`. */
export function armsOf(
  trial: TrialGeometry,
  events: readonly EventFrame[],
  n: number,
  shown: Shown,
): { readonly left: ArmReadings; readonly right: ArmReadings } {
  return trial.remember(ARMS, n, () => {
    const of = (side: Side): ArmReadings => {
      const swing = armSwing(trial, events, n, side);
      const had = (found: Outcome): Found => {
        const outcome = summedUp(trial, found);
        return { outcome, reading: readingOf(outcome, shown) };
      };
      return {
        axis: summedUp(trial, swing.axis),
        direction: had(swing.direction),
        angle: had(swing.angle),
        pictureAngle: had(swing.pictureAngle),
      };
    };
    return { left: of("left"), right: of("right") };
  });
}

/** Everything that is told of stride `n`; the same object as long as nothing it rests on has changed. */
export function strideReadings(
  trial: TrialGeometry,
  events: readonly EventFrame[],
  n: number,
  shown: Shown,
): Stride {
  return trial.remember(STRIDE, n, () => {
    const { side, off, on } = trial.strides[n - 1]!;
    const readings = STRIDE_QUANTITIES.map((q) => [q, quantityOf(trial, q, n, shown).reading]);
    const arms = armsOf(trial, events, n, shown);
    const eachArm = (pick: ArmReading) => ({
      left: arms.left[pick].reading,
      right: arms.right[pick].reading,
    });
    return {
      stride: n,
      side,
      blade_off_frame: off.frame,
      blade_on_frame: on?.frame ?? null,
      readings: Object.fromEntries(readings) as Stride["readings"],
      armSwingDirectionDeg: eachArm("direction"),
      armSwingAngleDeg: eachArm("angle"),
      armPictureAngleDeg: eachArm("pictureAngle"),
      alongTrackSpeed: speedOf(trial, n, shown).reading,
      off: icePlace(trial, n, "blade_off"),
      on: icePlace(trial, n, "blade_on"),
      recovery: recoveryPlace(trial, n),
    };
  });
}

/** The outcome with what it owes to its causes added up: its own uncertainty and the trial's means are made of that. */
function summedUp(trial: TrialGeometry, outcome: Outcome): Outcome {
  return "why" in outcome ? outcome : { ...outcome, value: trial.condensed(outcome.value) };
}

function icePlace(trial: TrialGeometry, n: number, contact: Contact): IcePlace | null {
  const stride = trial.strides[n - 1]!;
  const event = contact === "blade_off" ? stride.off : stride.on;
  const place = event && tryPlace(trial, event.frame, stride.side);
  return place && { x: place.x.value, y: place.y.value, ux: place.x.u, uy: place.y.u };
}
