import { countWord } from "../compare/numbers.ts";
import type { Warning } from "../reading.ts";
import { type Names, trialLabel } from "../study/labels.ts";
import type { Study, Trial } from "../study/types.ts";
import type { ReadingOf } from "../trials/techniqueCheck.ts";
import { formatNumber } from "../uncertainty/format.ts";
import { capital } from "../words.ts";

/** A trial whose strides cover less than this share of what most trials' cover is another part of the sprint. */
const LEAST_SHARE = 0.6;

/** Longer lists nobody reads. */
const MOST_NAMED = 8;

/**
 * Trials whose measured strides lie in a much shorter part of the lane than the others': a mean over the end of a
 * sprint is no mean over all of it, above all in stride length, rate and speed.
 */
export function zoneWarnings(
  study: Study,
  trials: readonly Trial[],
  names: Names,
  readingOf: ReadingOf,
): Warning[] {
  const zones = trials.flatMap(({ id }) => {
    const reading = readingOf(id);
    const places = reading.ok ? reading.value.strides.flatMap(({ off }) => (off ? [off.x] : [])) : [];
    return places.length < 2 ? [] : [{ id, from: Math.min(...places), to: Math.max(...places) }];
  });
  const usual = middle(zones.map((z) => z.to - z.from));
  const short = zones.filter((z) => z.to - z.from < LEAST_SHARE * usual);
  if (short.length === 0) return [];
  const named = short.map(
    ({ id, from, to }) =>
      `${trialLabel(study, id, names)}, from ${formatNumber(from, 0)} to ${formatNumber(to, 0)} m`,
  );
  const more = named.length > MOST_NAMED ? [`and ${named.length - MOST_NAMED} more`] : [];
  const subject = short.length === 1 ? "One trial has" : `${capital(countWord(short.length))} trials have`;
  return [
    {
      code: "other-part-of-the-lane",
      text: `${subject} strides from a short part of the lane only (${[...named.slice(0, MOST_NAMED), ...more].join("; ")}; most cover ${formatNumber(usual, 0)} m). Strides change along a sprint, so such a mean is not like the others'.`,
    },
  ];
}

function middle(values: readonly number[]): number {
  const sorted = values.slice().sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}
