/**
 * The same numbers for the same seed, 0 to below 1, for orders that can be made again. Not for statistics.
 *
 * @see Steele, Lea & Flood (2014), OOPSLA, "Fast splittable pseudorandom number generators": the mixing steps
 */
export function seededRandom(seed: number): () => number {
  let state = Math.trunc(seed) >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return ((mixed ^ (mixed >>> 16)) >>> 0) / 2 ** 32;
  };
}

/** A copy in random order (Fisher and Yates). */
export function shuffled<T>(list: readonly T[], random: () => number): T[] {
  const copy = list.slice();
  for (let i = copy.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [copy[i], copy[j]] = [copy[j]!, copy[i]!];
  }
  return copy;
}
