import type { Warning } from "../../reading.ts";
import { IMPOSSIBLE } from "../quantities/readingOf.ts";
import type { Stride } from "../types.ts";

/** What the strides say together that skaters do not do: a mark, an event, the clip's speed or the scale is wrong. */
export function unlikelyStrides(strides: readonly Stride[]): Warning[] {
  return [
    ...inwardPushes(strides),
    ...loneWidths(strides),
    ...wrongPace(strides),
    ...impossibleDistances(strides),
  ];
}

/** A blade pushes outward for as long as it is on the ice, so it leaves the ice farther out than it came down. */
function inwardPushes(strides: readonly Stride[]): Warning[] {
  const pushes = strides.flatMap(
    ({ readings: { stride_width_m: width, touchdown_to_track_midline_m: down } }) =>
      width.value === null || down.value === null
        ? []
        : [down.value - width.value / 2 > Math.hypot(down.u95, width.u95 / 2)],
  );
  const inward = pushes.filter((is) => is).length;
  if (pushes.length < 2 || 2 * inward <= pushes.length) return [];
  return [
    {
      code: "pushes-inward",
      text: `In ${inward} of ${pushes.length} strides the blade would come down farther out than it leaves the ice. Check whether blade-offs and blade-ons have changed places.`,
    },
  ];
}

/** Pushes a second that skaters make, from long distances to a sprint's start, wide on purpose (docs/precision.md 7: 2 to 4.5 in sprints). */
const PACE = { least: 0.6, most: 5 };

function wrongPace(strides: readonly Stride[]): Warning[] {
  const middle = middleRate(strides);
  if (middle === null || (middle >= PACE.least && middle <= PACE.most)) return [];
  return [
    {
      code: "wrong-pace",
      text: `The skater would make ${Number(middle.toPrecision(2))} pushes a second, which is ${middle > PACE.most ? "faster" : "slower"} than skaters do. Check how fast the clip plays: times and rates, and widths a little, rest on it.`,
    },
  ];
}

/** So much narrower or wider than each of its neighbours a single stride is not, beyond what both are known to, metres. [judgement] */
const ALONE = 0.15;
/** With fewer neighbours a skater in a curve looks the same. */
const FEWEST = 3;

/**
 * A stride narrower, or wider, than each of the four around it. One point on the wrong blade moves its own stride by
 * the whole and the next ones by half; a skater whose strides grow has them on either side.
 */
function loneWidths(strides: readonly Stride[]): Warning[] {
  const widths = strides.map(({ readings: { stride_width_m: width } }) =>
    width.value === null ? null : width,
  );
  return widths.flatMap((own, k) => {
    const [before, after] = [widths.slice(Math.max(0, k - 2), k), widths.slice(k + 1, k + 3)].map((some) =>
      some.filter((w) => w !== null),
    );
    if (!own || !before?.length || !after?.length || before.length + after.length < FEWEST) return [];
    const around = [...before, ...after].map((w) => ({
      by: own.value - w.value,
      most: ALONE + Math.hypot(own.u95, w.u95),
    }));
    const isWide = around.every(({ by, most }) => by > most);
    if (!isWide && !around.every(({ by, most }) => -by > most)) return [];
    const least = Math.min(...around.map(({ by }) => Math.abs(by)));
    const { stride, side, blade_off_frame: frame } = strides[k]!;
    return [
      {
        code: "width-stands-out",
        text: `Stride ${stride} comes out ${(100 * least).toFixed(0)} cm or more ${isWide ? "wider" : "narrower"} than each of those around it. Check that the marks in frame ${frame} are on the ${side} blade.`,
      },
    ];
  });
}

/** Several strides that come out as no skater's: then the others are not right by luck. */
function impossibleDistances(strides: readonly Stride[]): Warning[] {
  const isImpossible = ({ readings: { stride_width_m: width, stride_length_m: length } }: Stride) =>
    [width, length].some((r) => r.value === null && r.why.startsWith(IMPOSSIBLE));
  const count = strides.filter(isImpossible).length;
  if (count < 2 || 2 * count <= strides.length - 2) return [];
  return [
    {
      code: "impossible-distances",
      text: `In ${count} strides the width or the length comes out as no skater's. Check that all places of the ice reference are in metres, along both axes; until then no distance of this trial should be believed.`,
    },
  ];
}

/** Median of the strides' rates, pushes a second; null with fewer than three. */
export function middleRate(strides: readonly Stride[]): number | null {
  const rates = strides.map((s) => s.readings.stride_rate_hz.value).filter((r): r is number => r !== null);
  return rates.length < 3 ? null : rates.sort((a, b) => a - b)[rates.length >> 1]!;
}
