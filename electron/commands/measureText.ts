import { QUANTITY_WORDS } from "../../src/compare/quantityWords.ts";
import { measureJson } from "../../src/kinematics/measureJson.ts";
import type { Reading, Stride, TrialReadings } from "../../src/kinematics/types.ts";
import type { StrideQuantity } from "../../src/study/types.ts";
import { formatReading } from "../../src/uncertainty/format.ts";
import type { Io } from "./Command.ts";

/** Prints a trial's readings, warnings to standard error. */
export function tell(readings: TrialReadings, json: boolean, io: Io): void {
  for (const { text } of [...(readings.scale?.warnings ?? []), ...readings.warnings]) io.say(text);
  io.out(json ? JSON.stringify(measureJson(readings)) : measureText(readings));
}

type Mean = keyof TrialReadings["trial"];

/** A trial's readings in words, one quantity a line: value ± u95 with its unit, or why there is none. */
export function measureText(readings: TrialReadings): string {
  return [scaleText(readings), ...readings.strides.map(strideText), trialText(readings)].join("\n\n");
}

function scaleText({ scale, scaleWhy }: TrialReadings): string {
  if (!scale) return `No scale of the ice. ${scaleWhy}`;
  const fit = scale.rmsPx === null ? "" : `, fit of scale ${scale.rmsPx.toFixed(2)} px`;
  const what = `${scale.kind === "known-lengths" ? "known length" : "ice point"}${scale.points === 1 ? "" : "s"}`;
  const where = scale.frames === undefined ? "" : ` on ${scale.frames} frames`;
  return `Scale of the ice from ${scale.points} ${what}${where}${fit}.`;
}

function strideText(stride: Stride): string {
  const rows: [string, Reading, string][] = [
    ["blade-off", stride.readings.blade_off_s, "s"],
    ["blade-on", stride.readings.blade_on_s, "s"],
  ];
  for (const name of Object.keys(stride.readings) as StrideQuantity[]) {
    if (name === "blade_off_s" || name === "blade_on_s") continue;
    rows.push([QUANTITY_WORDS[name].name, stride.readings[name], QUANTITY_WORDS[name].unit]);
  }
  for (const side of ["left", "right"] as const) {
    rows.push([`arm-swing direction, ${side}`, stride.armSwingDirectionDeg[side], "°"]);
    rows.push([`arm-swing angle, ${side}`, stride.armSwingAngleDeg[side], "°"]);
  }
  const lines = rows.map(([name, reading, unit]) => line(name, formatReading(reading, unit)));
  return [`Stride ${stride.stride}, ${stride.side}`, ...lines].join("\n");
}

function trialText({ trial }: TrialReadings): string {
  const lines = (Object.keys(trial) as Mean[]).map((name) => {
    const mean = trial[name];
    const { name: words, unit } = QUANTITY_WORDS[name];
    if (!("mean" in mean)) return line(words, mean.why);
    return line(words, `${formatReading({ value: mean.mean, u95: mean.u95 }, unit)} (${mean.n} strides)`);
  });
  return ["Trial means (of left and right where both are there)", ...lines].join("\n");
}

function line(name: string, text: string): string {
  return `  ${name.padEnd(28)}${text}`;
}
