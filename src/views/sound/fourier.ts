/** A series of complex numbers, real and imaginary parts apart. */
export interface Complex {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/**
 * The discrete Fourier transform, in place: X_k = Σ x_n exp(−2πi kn/N), by halves.
 *
 * @param of as many numbers as a power of two
 * @param inverse with exp(+2πi kn/N) and 1/N in front
 * @see Cooley and Tukey (1965), Mathematics of Computation 19, 297-301
 */
export function transform({ re, im }: Complex, inverse = false): void {
  const n = re.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) {
      [re[i], re[j]] = [re[j]!, re[i]!];
      [im[i], im[j]] = [im[j]!, im[i]!];
    }
  }
  const cos = Float64Array.from({ length: n >> 1 }, (_, k) => Math.cos((2 * Math.PI * k) / n));
  const sin = Float64Array.from(
    { length: n >> 1 },
    (_, k) => (inverse ? 1 : -1) * Math.sin((2 * Math.PI * k) / n),
  );
  for (let size = 2; size <= n; size *= 2) {
    const [half, step] = [size >> 1, n / size];
    for (let from = 0; from < n; from += size)
      for (let k = 0; k < half; k++) {
        const [a, b] = [from + k, from + k + half];
        const [c, s] = [cos[k * step]!, sin[k * step]!];
        const x = re[b]! * c - im[b]! * s;
        const y = re[b]! * s + im[b]! * c;
        re[b] = re[a]! - x;
        im[b] = im[a]! - y;
        re[a] = re[a]! + x;
        im[a] = im[a]! + y;
      }
  }
  if (!inverse) return;
  for (let i = 0; i < n; i++) {
    re[i] = re[i]! / n;
    im[i] = im[i]! / n;
  }
}
