/** How evenly a run order treats its techniques; indices as in `techniques`. */
export interface OrderBalance {
  readonly techniques: readonly string[];
  /** times[t][r]: how many skaters skate technique t in their trial r + 1. */
  readonly times: readonly (readonly number[])[];
  /** follows[t][u]: how often a skater skates u right after t. */
  readonly follows: readonly (readonly number[])[];
  /** Mean place of each technique among a skater's own trials, 1 = first. */
  readonly meanPlace: readonly number[];
}

/** Counted from the order itself, not from how it was made. */
export function orderBalance(
  rows: readonly { readonly skater: string; readonly technique: string }[],
  techniques: readonly string[],
): OrderBalance {
  const skaters = [...new Set(rows.map((r) => r.skater))];
  const own = skaters.map((s) =>
    rows.filter((r) => r.skater === s).map((r) => techniques.indexOf(r.technique)),
  );
  const longest = Math.max(0, ...own.map((sequence) => sequence.length));
  const times = techniques.map((_, t) =>
    Array.from({ length: longest }, (_, r) => own.filter((sequence) => sequence[r] === t).length),
  );
  const follows = techniques.map((_, t) =>
    techniques.map((_, u) =>
      own.reduce(
        (sum, sequence) => sum + sequence.filter((v, i) => i > 0 && sequence[i - 1] === t && v === u).length,
        0,
      ),
    ),
  );
  const meanPlace = times.map((counts) => {
    const all = counts.reduce((sum, n) => sum + n, 0);
    return all === 0 ? 0 : counts.reduce((sum, n, r) => sum + n * (r + 1), 0) / all;
  });
  return { techniques, times, follows, meanPlace };
}

/** "Trial 1: A 3 skaters, B 3; …" in one sentence each, for the coach. */
export function balanceWords({ techniques, times, follows, meanPlace }: OrderBalance): string[] {
  const first = techniques.map((t, i) => `${t} ${times[i]?.[0] ?? 0}`).join(", ");
  const places = techniques.map((t, i) => `${t} ${meanPlace[i]!.toFixed(2)}`).join(", ");
  const pairs = techniques.flatMap((t, i) =>
    techniques.flatMap((u, j) => (i === j ? [] : [`${u} after ${t} ${follows[i]![j]}`])),
  );
  return [
    `How many skaters begin with it: ${first}.`,
    `Mean place among a skater's own trials: ${places}.`,
    `How often one follows the other: ${pairs.join(", ")}.`,
  ];
}
