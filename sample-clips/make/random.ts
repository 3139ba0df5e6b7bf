/** Seeded randomness: the same name gives the same numbers on every machine. */
export interface Random {
  /** Even in [0, 1). */
  next(): number;
  /** Mean 0, SD 1. */
  normal(): number;
}

export function seeded(name: string): Random {
  // FNV-1a turns the name into 32 bits; mulberry32 runs from there.
  let state = 0x811c9dc5;
  for (const letter of name) state = Math.imul(state ^ letter.charCodeAt(0), 0x01000193);
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let z = Math.imul(state ^ (state >>> 15), 1 | state);
    z = (z + Math.imul(z ^ (z >>> 7), 61 | z)) ^ z;
    return ((z ^ (z >>> 14)) >>> 0) / 4294967296;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  return { next, normal };
}
