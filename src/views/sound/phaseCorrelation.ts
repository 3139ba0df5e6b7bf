import { type Complex, transform } from "./fourier.ts";
import type { SoundTrack } from "./soundTrack.ts";

/** Below lies hum and the wind, above what some phones leave out, hertz. [judgement] */
const BAND = [200, 3600] as const;

/**
 * How two tracks of one rate agree at every lag: the generalised cross-correlation with the phase transform. Every pitch counts
 * alike, so a peak is as sharp as the waves allow, and two bangs that only look alike have hardly any.
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
  const out: Complex = { re: new Float64Array(n), im: new Float64Array(n) };
  const [low, high] = BAND.map((hertz) => Math.round((hertz * n) / first.rate));
  for (let k = low!; k <= Math.min(high!, n / 2 - 1); k++) {
    // Both are real, so at k and n − k their transforms are each other's mirror, and come apart.
    const [x, y, u, v] = [re[k]!, im[k]!, re[n - k]!, im[n - k]!];
    const [ar, ai, br, bi] = [x + u, y - v, y + v, u - x];
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
