import { median } from "../../statistics/median.ts";
import { type Complex, transform } from "./fourier.ts";
import type { SoundTrack } from "./soundTrack.ts";

/** Below lies hum and the wind, above what some phones leave out, hertz. [judgement] */
const BAND = [200, 3600] as const;

/** A pitch so many times as strong as what lies about it is a steady tone: waves that come and go have none. */
const TONE = 6;
/** About it: so many hertz; less than from one tone of the mains to the next. */
const NEAR_HERTZ = 40;

/** Which pitches are steady tones, which hum on at every lag. @param size of each pitch, `near` of which are judged together */
function isTone(size: Float64Array, near: number): (k: number) => boolean {
  const usual = Array.from({ length: Math.ceil(size.length / near) }, (_, b) =>
    median(Array.from(size.subarray(b * near, (b + 1) * near))),
  );
  return (k) => size[k]! > TONE * usual[Math.floor(k / near)]!;
}

/**
 * How two tracks of one rate agree at every lag: the generalised cross-correlation with the phase transform. Every pitch counts
 * alike, so a peak is as sharp as the waves allow, and two bangs that only look alike have hardly any. Steady tones are left out.
 *
 * @returns entry k: where sample i of the second is the first's i + k − (the second's length − 1)
 * @see Knapp and Carter (1976), IEEE Transactions on Acoustics, Speech, and Signal Processing 24, 320-327
 */
export function phaseCorrelation(first: SoundTrack, second: SoundTrack): Float64Array {
  const [a, b] = [first.samples, second.samples];
  const lags = a.length + b.length - 1;
  const n = 2 ** Math.ceil(Math.log2(lags));
  const { re, im }: Complex = { re: new Float64Array(n), im: new Float64Array(n) };
  re.set(a);
  for (let i = 0; i < b.length; i++) im[b.length - 1 - i] = b[i]!;
  transform({ re, im });
  // Both are real, so at k and n − k their transforms are each other's mirror, and come apart: twice each of them.
  const apart = (k: number) => {
    const [x, y, u, v] = [re[k]!, im[k]!, re[n - k]!, im[n - k]!];
    return [x + u, y - v, y + v, u - x] as const;
  };
  const out: Complex = { re: new Float64Array(n), im: new Float64Array(n) };
  const [low, high] = BAND.map((hertz) => Math.round((hertz * n) / first.rate));
  const end = Math.min(high!, n / 2 - 1) + 1;
  const sizes = [0, 1].map((track) =>
    Float64Array.from({ length: end - low! }, (_, k) => {
      const parts = apart(low! + k);
      return Math.hypot(parts[2 * track]!, parts[2 * track + 1]!);
    }),
  );
  const tones = sizes.map((size) => isTone(size, Math.max(1, Math.round((NEAR_HERTZ * n) / first.rate))));
  for (let k = low!; k < end; k++) {
    if (tones.some((tone) => tone(k - low!))) continue;
    const [ar, ai, br, bi] = apart(k);
    const [pr, pi] = [ar * br - ai * bi, ar * bi + ai * br];
    const size = Math.hypot(pr, pi);
    if (size === 0) continue;
    out.re[k] = pr / size;
    out.im[k] = pi / size;
    out.re[n - k] = pr / size;
    out.im[n - k] = -pi / size;
  }
  transform(out, true);
  return out.re.slice(0, lags);
}
