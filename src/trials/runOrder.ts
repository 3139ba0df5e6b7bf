import { MeasureError } from "../errors.ts";
import { seededRandom, shuffled } from "../statistics/seededRandom.ts";
import { type OrderBalance, orderBalance } from "./orderBalance.ts";

export interface RunOrderRequest {
  readonly skaters: readonly string[];
  readonly techniques: readonly string[];
  /** Trials of each skater with each technique. */
  readonly repeats: number;
  readonly seed: number;
}

export interface RunOrderRow {
  /** 1, 2, 3 … through the day. */
  readonly order: number;
  readonly skater: string;
  readonly technique: string;
  /** Counts within skater and technique. */
  readonly repeat: number;
}

export interface RunOrder {
  readonly rows: readonly RunOrderRow[];
  readonly balance: OrderBalance;
  /** What the order could not balance, for the coach. */
  readonly notes: readonly string[];
}

/**
 * A counterbalanced run order. All skaters take their first trial in turn, then their second, and so on, so that
 * everybody rests equally long. Each skater's own sequence is a row of a Williams square followed by the same row
 * backwards (two techniques: ABBA or BAAB), so that a steady change through the day cancels; rows are dealt out
 * to skaters at random and evenly.
 *
 * @throws {MeasureError} `bad-run-order`
 * @see Williams (1949), Aust J Sci Res A 2, 149-168
 */
export function runOrder({ skaters, techniques, repeats, seed }: RunOrderRequest): RunOrder {
  if (skaters.length === 0) throw bad("at least one skater", "Add the skaters first.");
  if (techniques.length < 2) throw bad("two techniques", "Add at least two techniques first.");
  if (!Number.isInteger(repeats) || repeats < 1 || repeats > 20) {
    throw bad(`1 to 20 repeats, got ${repeats}`, "Say how many trials of each technique: 1 to 20.");
  }
  if (new Set(skaters).size < skaters.length || new Set(techniques).size < techniques.length) {
    throw bad("different names", "Two skaters or two techniques have the same name.");
  }
  const random = seededRandom(seed);
  const square = shuffled(williams(techniques.length), random);
  const turns = shuffled(skaters, random);
  const sequences = turns.map((_, i) => ownSequence(square[i % square.length]!, repeats));
  const rows: RunOrderRow[] = [];
  const counts = new Map<string, number>();
  for (let round = 0; round < repeats * techniques.length; round++) {
    turns.forEach((skater, i) => {
      const technique = techniques[sequences[i]![round]!]!;
      const key = JSON.stringify([skater, technique]);
      const repeat = (counts.get(key) ?? 0) + 1;
      counts.set(key, repeat);
      rows.push({ order: rows.length + 1, skater, technique, repeat });
    });
  }
  return {
    rows,
    balance: orderBalance(rows, techniques),
    notes: notes(skaters.length, techniques, repeats, square.length),
  };
}

/**
 * Rows of a Williams design for n treatments: every treatment stands once in each place, and follows every other
 * equally often. Even n: n rows; odd n: 2n.
 */
export function williams(n: number): number[][] {
  const first = Array.from({ length: n }, (_, i) => (i % 2 === 1 ? (i + 1) / 2 : (n - i / 2) % n));
  const square = Array.from({ length: n }, (_, shift) => first.map((treatment) => (treatment + shift) % n));
  return n % 2 === 0 ? square : [...square, ...square.map((row) => row.toReversed())];
}

/** Row, row backwards, row … as often as there are repeats. */
function ownSequence(row: readonly number[], repeats: number): number[] {
  return Array.from({ length: repeats }, (_, k) => (k % 2 === 0 ? row : row.toReversed())).flat();
}

function notes(skaters: number, techniques: readonly string[], repeats: number, rows: number): string[] {
  const uneven =
    skaters % rows === 0
      ? []
      : techniques.length === 2
        ? [
            `With ${skaters} skaters one more begins with one technique than with the other; an even number would balance.`,
          ]
        : [
            `${techniques.length} techniques balance with a multiple of ${rows} skaters; ${skaters} come near it.`,
          ];
  const odd =
    repeats % 2 === 0
      ? []
      : [
          "With an odd number of trials a steady change through the day cancels between skaters only, not within each.",
        ];
  return [...uneven, ...odd];
}

function bad(need: string, coach: string): MeasureError {
  return new MeasureError("bad-run-order", `runOrder needs ${need}`, coach);
}
