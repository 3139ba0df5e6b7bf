import { measureJson } from "../../src/kinematics/measureJson.ts";
import type { Stride, TrialReadings } from "../../src/kinematics/types.ts";
import { entryOf, isOfArm, STRIDE_QUANTITIES } from "../../src/quantities/catalogue.ts";
import type { Reading } from "../../src/reading.ts";
import { formatReading } from "../../src/uncertainty/format.ts";
import type { Io } from "./Command.ts";

/** Prints a trial's readings, warnings to standard error. */
export function tell(readings: TrialReadings, json: boolean, io: Io, seed: number | null = null): void {
  for (const { text } of [...(readings.scale?.warnings ?? []), ...readings.warnings]) io.say(text);
  io.out(json ? JSON.stringify(measureJson(readings, seed ?? undefined)) : measureText(readings));
}

type Mean = keyof TrialReadings["trial"];

/** A trial's readings in words, one quantity a line: value ± u95 with its unit, or why there is none. */
export function measureText(readings: TrialReadings): string {
  const parts = [scaleText(readings), ...readings.strides.map(strideText), trialText(readings)];
  return [...parts, sprintText(readings), ...monteCarloText(readings)].join("\n\n");
}

function sprintText({ sprint, gateSpeeds }: TrialReadings): string {
  const lines =
    "why" in sprint
      ? [line("sprint curve", sprint.why)]
      : [
          line("sprint curve, top speed", formatReading(sprint.top, "m/s")),
          line("sprint curve, time constant", formatReading(sprint.tau, "s")),
        ];
  const gates = gateSpeeds.map(({ x, speed }) => line(`speed at ${x} m`, formatReading(speed, "m/s")));
  return ["Along the track", ...lines, ...gates].join("\n");
}

function monteCarloText({ monteCarlo }: TrialReadings): string[] {
  if (!monteCarlo) return [];
  const { draws, compared, differences } = monteCarlo;
  const agree = `Monte Carlo (${draws} draws): of ${compared} intervals ${compared - differences.length} are as stated, to a tenth of ±.`;
  return [[agree, ...differences.map(({ what, why }) => `  ${what}: ${why}`)].join("\n")];
}

function scaleText({ scale, scaleWhy }: TrialReadings): string {
  if (!scale) return `No scale of the ice. ${scaleWhy}`;
  const fit = scale.rmsPx === null ? "" : `, fit of scale ${scale.rmsPx.toFixed(2)} px`;
  const what = `${scale.kind === "known-lengths" ? "known length" : "ice point"}${scale.points === 1 ? "" : "s"}`;
  const where = scale.frames === undefined ? "" : ` on ${scale.frames} frames`;
  return `Scale of the ice from ${scale.points} ${what}${where}${fit}.`;
}

function strideText(stride: Stride): string {
  const rows = STRIDE_QUANTITIES.map((q): [string, Reading, string] => {
    const { name, unit } = entryOf(q);
    return [name, stride.readings[q], unit];
  });
  for (const side of ["left", "right"] as const) {
    rows.push([`arm-swing direction, ${side}`, stride.armSwingDirectionDeg[side], "°"]);
    rows.push([`arm-swing angle, ${side}`, stride.armSwingAngleDeg[side], "°"]);
    rows.push([`${side} arm's angle in the picture`, stride.armPictureAngleDeg[side], "°"]);
  }
  rows.push(["along-track speed", stride.alongTrackSpeed, "m/s"]);
  const lines = rows.map(([name, reading, unit]) => line(name, readingText(reading, unit)));
  return [`Stride ${stride.stride}, ${stride.side}`, ...lines].join("\n");
}

/** Value ± u95, or why there is none and what it may be. */
function readingText(reading: Reading, unit: string): string {
  if (reading.value !== null || !reading.either) return formatReading(reading, unit);
  const either = reading.either.map((one) => formatReading(one, unit)).join(" or ");
  return `either ${either}. ${reading.why}`;
}

function trialText({ trial }: TrialReadings): string {
  const lines = (Object.keys(trial) as Mean[]).map((name) => {
    const mean = trial[name];
    const { name: words, unit } = entryOf(name);
    if (!("mean" in mean)) return line(words, mean.why);
    const show = (m: { readonly mean: number; readonly u95: number }) =>
      formatReading({ value: m.mean, u95: m.u95 }, unit);
    const sides = (["left", "right"] as const).flatMap((side) => {
      const one = mean[side];
      return "mean" in one ? [`${side} ${show(one)}`] : [];
    });
    const { leftMinusRight } = mean;
    const apart =
      leftMinusRight.value === null ? [] : [`left minus right ${formatReading(leftMinusRight, unit)}`];
    const of = `${mean.n} ${isOfArm(name) ? "swings" : "strides"}`;
    return line(words, `${show(mean)} (${[of, ...sides, ...apart].join(", ")})`);
  });
  return ["Trial means (of left and right where both are there)", ...lines].join("\n");
}

function line(name: string, text: string): string {
  return `  ${name.padEnd(34)}${text}`;
}
