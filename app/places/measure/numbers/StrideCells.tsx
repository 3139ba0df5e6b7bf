import { Tooltip } from "@mantine/core";
import type { SideMean, TrialMean } from "../../../../src/kinematics/types.ts";
import type { Reading } from "../../../../src/reading.ts";
import {
  formatCentimetres,
  formatNumber,
  formatReading,
  placesFor,
  withUnit,
} from "../../../../src/uncertainty/format.ts";
import { capital } from "../../../../src/words.ts";
import type { QuantityWords } from "./quantityWords.ts";

export function Explained({ words }: { words: QuantityWords }) {
  return (
    <Tooltip label={words.meaning}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the explanation must be within reach of the keyboard */}
      <span className="explained" tabIndex={0}>
        {capital(words.name)}
      </span>
    </Tooltip>
  );
}

/** A few words that stand for a reason; the whole sentence on hover, focus and press. */
export function Why({ why, short }: { why: string; short: string }) {
  return (
    <Tooltip label={why}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the whole reason must be within reach of the keyboard */}
      <span className="why-text" tabIndex={0}>
        {short}
      </span>
    </Tooltip>
  );
}

/** The value at the marked frames themselves, where the correction to the event's time moved it. */
export function AtFrame({ reading, unit }: { reading: Reading; unit: string }) {
  if (reading.value === null || reading.atFrame === undefined) return null;
  const there = onScreen({ value: reading.atFrame, u95: reading.u95 }, unit);
  const here = onScreen({ value: reading.value, u95: reading.u95 }, unit);
  if (there === here) return null;
  return (
    <Tooltip
      label={`At the marked frames themselves: ${there}. The number shown is corrected to the moment of the event, half a frame away.`}
    >
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the uncorrected value must be within reach of the keyboard */}
      <sup className="at-frame" tabIndex={0}>
        *
      </sup>
    </Tooltip>
  );
}

/** As the table shows it: lengths in centimetres, all to the same place. */
export function onScreen(reading: { readonly value: number; readonly u95: number }, unit: string): string {
  return unit === "m" ? formatCentimetres(reading) : formatReading(reading, unit);
}

export function hasMean(mean: TrialMean | undefined): boolean {
  return mean !== undefined && "mean" in mean;
}

/** The trial's mean; of how many, their scatter and each side's ± on hover and focus. */
export function Mean({ mean, unit }: { mean: TrialMean | undefined; unit: string }) {
  if (!mean || !("mean" in mean)) return "–";
  const side = (name: string, of: SideMean) =>
    "mean" in of
      ? `${name} ${onScreen({ value: of.mean, u95: of.u95 }, unit)} (${of.n})`
      : `${name} not measured`;
  const apart = mean.leftMinusRight;
  const difference = apart.value === null ? "" : `, left minus right ${onScreen(apart, unit)}`;
  return (
    <Tooltip
      label={`${countWords(mean, unit)}; ${side("left", mean.left)}, ${side("right", mean.right)}${difference}.`}
    >
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: left and right must be within reach of the keyboard */}
      <span tabIndex={0}>{foldable(onScreen({ value: mean.mean, u95: mean.u95 }, unit))}</span>
    </Tooltip>
  );
}

interface Sides {
  readonly left: string;
  readonly right: string;
  /** By more than they are known to. */
  readonly differ: boolean;
}

/** Both sides' means to the digits of the trial's; null where one of them is not measured. */
export function bothSides(mean: TrialMean | undefined, unit: string): Sides | null {
  if (!mean || !("mean" in mean)) return null;
  const { left, right, leftMinusRight } = mean;
  if ("why" in left || "why" in right || leftMinusRight.value === null) return null;
  const places = placesFor(mean.u95);
  const sized = (of: { readonly mean: number }) =>
    unit === "m"
      ? formatNumber(100 * of.mean, 1)
      : unit === "°"
        ? withUnit(formatNumber(of.mean, places), unit)
        : formatNumber(of.mean, places);
  const differ = Math.abs(leftMinusRight.value) > leftMinusRight.u95;
  return { left: sized(left), right: sized(right), differ };
}

/** "left 6.9, right 2.0"; bold where they differ. */
export function BothSides({ left, right, differ }: Sides) {
  return (
    <small className="both-sides" data-differs={differ ? "" : undefined}>
      <span>left {left},</span> <span>right {right}</span>
    </small>
  );
}

function countWords({ n, sd, u95 }: Extract<TrialMean, { mean: number }>, unit: string): string {
  if (sd === null) return "Of one";
  const scatter =
    unit === "m"
      ? withUnit(formatNumber(100 * sd, 1), "cm")
      : withUnit(formatNumber(sd, placesFor(u95)), unit);
  return `Of ${n}, which scatter with an SD of ${scatter}`;
}

/** May go on in the next line before its ±, where the column is narrow. */
function foldable(text: string): string {
  return text.replace(/\s±\s/, " ±\u00a0");
}

/** "12° ± 8° or 48° ± 9°" where only an answer tells which; null where there is no such choice. */
export function eitherText(reading: Reading, unit: string): string | null {
  if (reading.value !== null || !reading.either) return null;
  return reading.either.map((one) => formatReading(one, unit)).join(" or ");
}
