/** Numbers drawn for the simulation: the same seeds give the same trial, on any machine. */
export interface Dice {
  /** Evenly from `low` to `high`. */
  even(low: number, high: number): number;
  /** Normal with mean 0. */
  normal(sd: number): number;
  chance(share: number): boolean;
}

/** A generator of its own for each list of seeds (sfc32, Chris Doty-Humphrey, PractRand: 128 bits of state). */
export function dice(...seeds: readonly number[]): Dice {
  const state = new Uint32Array([0x9e3779b9, 0x243f6a88, 0xb7e15162, 1]);
  const unit = () => {
    const t = (state[0]! + state[1]! + state[3]!) >>> 0;
    state[3] = state[3]! + 1;
    state[0] = state[1]! ^ (state[1]! >>> 9);
    state[1] = state[2]! + (state[2]! << 3);
    state[2] = ((state[2]! << 21) | (state[2]! >>> 11)) + t;
    return t / 2 ** 32;
  };
  for (const seed of seeds) {
    state[0] = state[0]! ^ Math.imul(seed + 1, 0x85ebca6b);
    state[1] = state[1]! ^ seed;
    for (let k = 0; k < 20; k++) unit();
  }
  let spare: number | null = null;
  const standard = () => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    // Box and Muller (1958), Annals of Mathematical Statistics 29, 610-611.
    const size = Math.sqrt(-2 * Math.log(1 - unit()));
    const angle = 2 * Math.PI * unit();
    spare = size * Math.sin(angle);
    return size * Math.cos(angle);
  };
  return {
    even: (low, high) => low + (high - low) * unit(),
    normal: (sd) => sd * standard(),
    chance: (share) => unit() < share,
  };
}
