/**
 * Uniform random numbers in [0, 1), 32 bits each, the same for the same seed on every machine: PCG32 (XSH-RR).
 * For Monte Carlo, where the mixing of a simple counter would not do.
 *
 * @param seed a whole number from 0; `stream` tells independent sequences of one seed apart
 * @see O'Neill (2014), HMC-CS-2014-0905, "PCG: a family of simple fast space-efficient statistically good
 *   algorithms for random number generation"
 */
export function randomNumbers(seed: number, stream = 54): () => number {
  const next = pcg32(seed, stream);
  return () => next() / 2 ** 32;
}

/** The same as whole numbers, 0 to 2³² − 1. The 64-bit state is kept in two halves. */
export function pcg32(seed: number, stream: number): () => number {
  let high = 0;
  let low = 0;
  const incrementHigh = (stream / 2 ** 31) >>> 0;
  const incrementLow = ((stream << 1) | 1) >>> 0;
  /** state × 6364136223846793005 + increment modulo 2⁶⁴; the high half of the low product by way of 16-bit pieces. */
  const advance = () => {
    const a1 = low >>> 16;
    const a0 = low & 0xffff;
    const middle = a1 * 0x7f2d + ((a0 * 0x7f2d) >>> 16);
    const cross = (middle & 0xffff) + a0 * 0x4c95;
    const carried = (a1 * 0x4c95 + (middle >>> 16) + (cross >>> 16)) | 0;
    const newLow = (Math.imul(low, 0x4c957f2d) >>> 0) + incrementLow;
    const carry = newLow >= 4294967296 ? 1 : 0;
    high = (carried + Math.imul(low, 0x5851f42d) + Math.imul(high, 0x4c957f2d) + incrementHigh + carry) >>> 0;
    low = newLow >>> 0;
  };
  advance();
  const seeded = low + (seed >>> 0);
  high = (high + Math.floor(seed / 2 ** 32) + (seeded >= 2 ** 32 ? 1 : 0)) >>> 0;
  low = seeded >>> 0;
  advance();
  return () => {
    const h = high;
    const l = low;
    advance();
    // Bits of (state >> 18) ^ state, then >> 27; turned by the top five bits.
    const mixedHigh = (h >>> 18) ^ h;
    const mixedLow = ((h << 14) | (l >>> 18)) ^ l;
    const word = (mixedHigh << 5) | (mixedLow >>> 27);
    const turn = h >>> 27;
    return ((word >>> turn) | (word << (-turn & 31))) >>> 0;
  };
}
