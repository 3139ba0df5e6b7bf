import type { Stride, Warning } from "../kinematics/types.ts";
import { formatNumber } from "../uncertainty/format.ts";

/** Standard uncertainty of a gate-to-gate time from blade points alone, seconds (precision study, 7). */
const BLADES_ONLY_SD = { flying: 0.016, standing: 0.063 } as const;

/** Clip time over photocell time as recording and playback rates give it; the precision study's list (7). */
const FACTORS = [1, 1 / 8, 1 / 4, 1 / 3, 1 / 2, 4 / 5, 5 / 6, 24 / 25, 2, 3, 4, 8, 10];

interface Passing {
  readonly time: number;
  readonly u: number;
}

/**
 * Compares the clip's own time between two gates with the photocells': strides' blade-off points, interpolated to the
 * gates. A time can refute a pairing, never confirm it.
 *
 * @param gates positions along the lane, metres
 * @param photocell seconds between them
 * @param start an unsaid start counts as a standing one, the less certain
 */
export function clipGateTime(
  strides: readonly Stride[],
  gates: readonly [number, number],
  photocell: number,
  start: "standing" | "flying" | "not said",
): Warning {
  const notChecked = (why: string): Warning => ({
    code: "pairing-not-checked",
    text: `Whether this clip belongs to the time ${photocell} s could not be checked: ${why}`,
  });
  const points = strides.flatMap(({ off, readings: { blade_off_s } }) =>
    off && blade_off_s.value !== null ? [{ time: blade_off_s.value, x: off.x, u: off.ux }] : [],
  );
  points.sort((a, b) => a.time - b.time);
  if (points.length < 2) return notChecked("fewer than two blade-offs have a place on the ice.");
  const passings = gates.map((gate) => passing(points, gate));
  const [first, last] = passings;
  if (!first || !last) {
    const xs = points.map((p) => p.x);
    const reach = `${formatNumber(Math.min(...xs), 1)} to ${formatNumber(Math.max(...xs), 1)} m`;
    return notChecked(
      `the marked blade-offs reach from ${reach} along the lane, the gates stand at ${gates.join(" and ")} m. Mark a blade-off before the first gate and one after the last.`,
    );
  }
  const clip = last.time - first.time;
  if (!(clip > 0))
    return notChecked("the skater passes the second gate first. Check the order of the gates.");
  const sd = Math.hypot(BLADES_ONLY_SD[start === "flying" ? "flying" : "standing"], first.u, last.u);
  const shown = `${formatNumber(clip, 2)} ± ${formatNumber(1.96 * sd, 2)} s`;
  const near = (k: number) => Math.abs(Math.log(clip / photocell / k));
  const [factor] = [...FACTORS].sort((a, b) => near(a) - near(b)) as [number];
  const within = Math.max(0.01, (2 * sd) / photocell);
  if (near(1) <= within) {
    return {
      code: "pairing",
      text: `From gate to gate the clip shows ${shown}, the photocells ${photocell} s: they agree. That does not prove that this is the trial's clip.`,
    };
  }
  if (near(factor) <= within) {
    return {
      code: "pairing-speed",
      text: `From gate to gate the clip shows ${shown}, the photocells ${photocell} s: the clip seems to play at ${formatNumber(1 / factor, 3)} of its true speed. Multiply the speed factor by ${formatNumber(factor, 3)} if that is so; until then every time and rate is wrong by that factor.`,
    };
  }
  return {
    code: "pairing-refuted",
    text: `From gate to gate the clip shows ${shown}, the photocells ${photocell} s. This may not be this trial's clip, or the gates stand elsewhere.`,
  };
}

/** When the blade-offs' way along the lane crosses a gate, and its standard uncertainty from their places. */
function passing(
  points: readonly { readonly time: number; readonly x: number; readonly u: number }[],
  gate: number,
): Passing | null {
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    if (a.x > gate || b.x < gate || a.x === b.x) continue;
    const share = (gate - a.x) / (b.x - a.x);
    const speed = (b.x - a.x) / (b.time - a.time);
    return {
      time: a.time + share * (b.time - a.time),
      u: Math.hypot((1 - share) * a.u, share * b.u) / speed,
    };
  }
  return null;
}
