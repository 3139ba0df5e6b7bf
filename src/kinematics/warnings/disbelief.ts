import type { StrideQuantity } from "../../quantities/catalogue.ts";
import type { Reading, Warning } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { TOLD_IN } from "../quantities/strideReadings.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Stride } from "../types.ts";

/** What is told of a stride: its quantities, its along-track speed and the swings of its arms. */
export type Told = StrideQuantity | "speed" | "arms";

const TO_THE_HIPS: readonly Told[] = ["half_width_m", "recovery_to_midline_m", "touchdown_to_midline_m"];
const DISTANCES: readonly Told[] = [
  ...TO_THE_HIPS,
  ...(["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m", "stride_length_m"] as const),
  ...(["speed", "arms"] as const),
];

/**
 * What is not to be believed where a warning stands: a value that it speaks against is not shown. `blades` = whatever
 * rests on the marks of the blades it is about. All other warnings only ask for a second look.
 */
const DISBELIEVED: Readonly<Record<string, readonly Told[] | "blades">> = {
  "blade-on-wrong-side": "blades",
  "long-blade": "blades",
  "blade-out-of-place": "blades",
  "impossible-distances": DISTANCES,
  "speed-unlike-time": DISTANCES,
  "scale-unlike-speed": DISTANCES,
  // What comes down and what leaves are exchanged: only the pace is what it is.
  "pushes-inward": [...DISTANCES, "recovery_time_s"],
  "flights-throughout": [...DISTANCES, "recovery_time_s"],
  "wrong-pace": ["stride_rate_hz", "recovery_time_s", "speed"],
  "not-nearest": ["recovery_to_midline_m"],
  "hip-height-standing": [...TO_THE_HIPS, "arms"],
  "limbs-exchanged": ["arms"],
  "limb-unlike-stature": ["arms"],
  "arm-answer-unlike": ["arms"],
  "arm-answers-turned": ["arms"],
};

/** Why something told of a stride is not to be believed, for the coach; null when it is. */
export type Disbelief = (told: Told, stride: number, arm?: Side) => string | null;

/** What a trial's warnings say together; null when they leave every value alone. */
export function disbelief(trial: TrialGeometry, warnings: readonly Warning[]): Disbelief | null {
  const against = warnings.flatMap(({ code, text, about }) => {
    const what = DISBELIEVED[code];
    if (!what) return [];
    const rests = what === "blades" && trial.restsOnBlades(about?.blades ?? []);
    const isAgainst = (told: Told, stride: number, arm: Side | undefined): boolean => {
      if (rests) return rests(TOLD_IN[told], stride);
      const isOther =
        (about?.strides && !about.strides.includes(stride)) || (about?.arm && about.arm !== arm);
      return !isOther && what.includes(told);
    };
    return [{ isAgainst, why: `Not shown, because of a warning: ${text}` }];
  });
  if (against.length === 0) return null;
  return (told, stride, arm) => against.find(({ isAgainst }) => isAgainst(told, stride, arm))?.why ?? null;
}

/** A stride without the values that are not to be believed; the same object where all are. */
export function believed(stride: Stride, doubt: Disbelief): Stride {
  let isSame = true;
  const kept = (reading: Reading, told: Told, arm?: Side): Reading => {
    const why = reading.value === null && !reading.either ? null : doubt(told, stride.stride, arm);
    if (why === null) return reading;
    isSame = false;
    return { value: null, why };
  };
  const { readings, alongTrackSpeed } = stride;
  const names = Object.keys(readings) as StrideQuantity[];
  const arms = (of: Readonly<Record<Side, Reading>>) => ({
    left: kept(of.left, "arms", "left"),
    right: kept(of.right, "arms", "right"),
  });
  const without: Stride = {
    ...stride,
    readings: Object.fromEntries(
      names.map((name) => [name, kept(readings[name], name)]),
    ) as Stride["readings"],
    armSwingDirectionDeg: arms(stride.armSwingDirectionDeg),
    armSwingAngleDeg: arms(stride.armSwingAngleDeg),
    alongTrackSpeed: kept(alongTrackSpeed, "speed"),
  };
  return isSame ? stride : without;
}
