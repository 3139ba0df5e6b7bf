import { compareJudged } from "../../src/compare/compareTechniques.ts";
import type { CompareRow } from "../../src/compare/types.ts";
import { normal, seeded } from "../helpers/random.ts";

/** How a day goes on which the techniques make no difference. */
export interface Day {
  readonly name: string;
  readonly skaters: number;
  readonly repeats: number;
  /** "lean": all but one skater a first; "holes": every fifth trial without a time. */
  readonly order: "abba" | "aabb" | "abab" | "half" | "random" | "lean" | "holes";
  /** Seconds from one trial to the next: the same for all, each skater's own, or a warming up that ends. */
  readonly drift?: "steady" | "own" | "warming";
  /** The first skater's trials scatter so many times as much. */
  readonly erratic?: number;
  /** How differently skaters respond, SD in seconds. Verdicts on a skater are wrong only where it is 0. */
  readonly response?: number;
  /** True difference, b minus a, seconds. */
  readonly truth?: number;
  /** What is said to matter, seconds; 0.01 where not said. */
  readonly worthwhile?: number;
}

const TRIAL = 0.03;
const SKATER = 0.18;

function sequence({ order, repeats, skaters }: Day, s: number, random: () => number): string[] {
  const [a, b] = ["a".repeat(repeats), "b".repeat(repeats)];
  if (order === "aabb" || (order === "half" && s % 2 === 0) || (order === "lean" && s < skaters - 1))
    return [...a, ...b];
  if (order === "half" || order === "lean") return [...b, ...a];
  if (order === "abab") return [..."ab".repeat(repeats)];
  if (order === "abba") return Array.from({ length: 2 * repeats }, (_, k) => ((k + 1) & 2 ? "b" : "a"));
  return [...a, ...b]
    .map((t) => ({ t, at: random() }))
    .sort((x, y) => x.at - y.at)
    .map(({ t }) => t);
}

export function nullDay(day: Day, random: () => number) {
  const rows: CompareRow[] = [];
  for (let s = 0; s < day.skaters; s++) {
    const level = 4.7 + SKATER * normal(random);
    const sd = TRIAL * (s === 0 ? (day.erratic ?? 1) : 1);
    const own = (day.response ?? 0) * normal(random);
    const slope = day.drift === "own" ? -0.03 + 0.02 * normal(random) : -0.03;
    sequence(day, s, random).forEach((technique, k) => {
      const drift =
        day.drift === undefined ? 0 : day.drift === "warming" ? 0.12 * Math.exp(-k / 1.5) : slope * k;
      const value = level + drift + (technique === "b" ? (day.truth ?? 0) + own : 0) + sd * normal(random);
      const missing = day.order === "holes" && random() < 0.2;
      rows.push({
        ...{ skater: `S${s}`, technique, order: rows.length + 1, valid: true },
        value: missing ? null : value,
      });
    });
  }
  return compareJudged({ rows, a: "a", b: "b", quantity: "time_s", worthwhile: day.worthwhile ?? 0.01 });
}

export interface Shares {
  /** Studies that say of skaters in general, or of these skaters, that one is faster, %. */
  readonly settled: number;
  readonly these: number;
  /** Studies with any skater wrongly called faster or slower, %. */
  readonly verdict: number;
  /** Studies that call skaters opposite, %. */
  readonly depends: number;
  /** Studies that say that no difference matters, %. */
  readonly alike: number;
}

export function shares(day: Day, studies: number, seed: number): Shares {
  const random = seeded(seed);
  const count = { settled: 0, these: 0, verdict: 0, depends: 0, alike: 0 };
  for (let i = 0; i < studies; i++) {
    const c = nullDay(day, random);
    if (c.conclusion in count) count[c.conclusion as "settled"]++;
    if (c.pairs.some((p) => p.verdict !== "can't tell")) count.verdict++;
  }
  return Object.fromEntries(
    Object.entries(count).map(([k, n]) => [k, (100 * n) / studies]),
  ) as unknown as Shares;
}

const SIZES = [
  [2, 2],
  [3, 2],
  [5, 2],
  [6, 1],
  [6, 2],
  [8, 1],
  [8, 2],
  [8, 3],
  [12, 2],
] as const;
const ORDERS = ["abba", "aabb", "abab", "half", "random", "lean", "holes"] as const;

/** Every size with every order and every drift, and skaters one of whom is erratic. */
export const DAYS: readonly Day[] = [
  ...SIZES.flatMap(([skaters, repeats]) =>
    ORDERS.flatMap((order) =>
      ([undefined, "steady", "own", "warming"] as const)
        // Where all start with the same technique a warming up that ends is part of it, and no number parts them.
        .filter((drift) => drift !== "warming" || ["half", "random"].includes(order))
        .map(
          (drift): Day => ({
            name: `${skaters} x ${repeats}, ${order}, ${drift ? `drift ${drift}` : "no drift"}`,
            ...{ skaters, repeats, order },
            ...(drift && { drift }),
          }),
        ),
    ),
  ),
  ...([2, 3, 5, 10] as const).flatMap((erratic) =>
    SIZES.filter(([, repeats]) => repeats > 1).map(
      ([skaters, repeats]): Day => ({
        name: `${skaters} x ${repeats}, abba, drift steady, one erratic x ${erratic}`,
        ...{ skaters, repeats, order: "abba", drift: "steady", erratic },
      }),
    ),
  ),
];
