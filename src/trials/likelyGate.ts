import type { PlacedPoint } from "../kinematics/types.ts";
import type { Lane } from "../study/types.ts";

/** The front of a crouched skater is so far ahead of blades and hips, metres (common practice, no source). */
const FRONT = 0.4;
/** Places of about so long around a moment tell where the skater is then, real seconds. */
const WINDOW_S = 0.4;
/** Who starts standing has blades and hips so far before the start line, metres (common practice, no source). */
const STANDS = 0.5;
/** So long before the first and after the last place the skater surely went on as there, real seconds. */
const BEYOND_S = 2;

interface Sample {
  /** Real seconds. */
  readonly t: number;
  readonly x: number;
}

/**
 * The frame in which the skater's front likely passes a gate: a place to look, nothing is measured from it.
 *
 * @param gate metres along the lane
 * @param places as measured, metres along the lane; blades and hips count
 * @param times of the frames, clip seconds
 * @param start of the lane; from a standing start speed has risen before the first place, as by an even push
 * @returns null where too few places tell, or it would be in no frame
 */
export function likelyGate(
  gate: number,
  places: readonly PlacedPoint[],
  {
    times,
    speedFactor,
    start,
  }: {
    readonly times: readonly number[];
    readonly speedFactor: number;
    readonly start: Lane["start"];
  },
): number | null {
  const samples = places.flatMap(({ frame, point, x }) => {
    const clip = times[frame];
    return clip !== undefined && (point === "blade" || point === "mid_hip")
      ? [{ t: clip / speedFactor, x }]
      : [];
  });
  const all = samples.map((s) => s.t);
  const first = Math.min(...all);
  const [from, to] = [first - BEYOND_S, Math.max(...all) + BEYOND_S];
  let before: number | null = null;
  for (const [frame, clip] of times.entries()) {
    const t = clip / speedFactor;
    if (t < from || t > to) continue;
    const x = start === "standing" && t < first ? risingAt(samples, t) : placeAt(samples, t);
    if (x === null) return null;
    const left = gate - FRONT - x;
    // Only between two frames has it passed: who is beyond it in the first one passed it before.
    if (before !== null && before > 0 && left <= 0) return frame;
    before = left;
  }
  return null;
}

/**
 * Half way between an even pace, which comes to the line too late, and an even push from rest, by which the root of the way
 * grows evenly and which comes too early: who starts pushes less and less.
 */
function risingAt(samples: readonly Sample[], t: number): number | null {
  const roots = samples.map((s) => ({ t: s.t, x: Math.sqrt(Math.max(0, s.x + STANDS)) }));
  const [even, root] = [placeAt(samples, t), placeAt(roots, t)];
  return even === null || root === null ? null : (even + Math.max(0, root) ** 2 - STANDS) / 2;
}

/** On the straight line through what lies around a moment; beyond the ends as at them. */
function placeAt(samples: readonly Sample[], t: number): number | null {
  const away = samples.map((s) => Math.abs(s.t - t));
  const least = Math.min(...away);
  const weights = away.map((a) => Math.exp(-0.5 * ((a - least) / WINDOW_S) ** 2));
  const sum = (of: (s: Sample) => number) =>
    samples.reduce((all, s, i) => all + (weights[i] as number) * of(s), 0);
  const n = sum(() => 1);
  const [mt, mx] = [sum((s) => s.t) / n, sum((s) => s.x) / n];
  const tt = sum((s) => (s.t - mt) ** 2);
  if (!(tt > 1e-6)) return null;
  return mx + (sum((s) => (s.t - mt) * (s.x - mx)) / tt) * (t - mt);
}
