import { BLUNDERS } from "./families.ts";
import { BLUNDER_PLACEMENTS, type Outcome, tryBlunder } from "./tryBlunder.ts";

/** What came of all trials of one family. */
export interface BlunderRow {
  readonly name: string;
  readonly unseenWhy: string;
  readonly trials: number;
  readonly told: number;
  readonly refused: number;
  /** Unseen, every figure within twice its u95 of the truth. */
  readonly unharmed: number;
  /** Unseen, some figure farther off. */
  readonly unseenWrong: number;
  /** Share of figures that are wrong in the unseen trials, and beside a warning. */
  readonly wrongUnseen: number;
  readonly wrongTold: number;
  readonly worst: Outcome["worst"];
  /** How often each warning told. */
  readonly codes: ReadonlyMap<string, number>;
}

/** Family number `at` over all placements of the table with so many skaters each. */
export function blunderRow(at: number, skaters: number): BlunderRow {
  const blunder = BLUNDERS[at]!;
  const outcomes = BLUNDER_PLACEMENTS.flatMap((placement) =>
    Array.from({ length: skaters }, (_, who) => tryBlunder(blunder, placement, who)),
  ).filter((outcome) => outcome !== null);
  const unseen = outcomes.filter(({ how }) => how === "unseen");
  const told = outcomes.filter(({ how }) => how === "told");
  const share = (list: readonly Outcome[]) => {
    const shown = list.reduce((n, o) => n + o.shown, 0);
    return shown === 0 ? 0 : list.reduce((n, o) => n + o.wrong, 0) / shown;
  };
  const codes = new Map<string, number>();
  for (const code of outcomes.flatMap((o) => o.codes)) codes.set(code, (codes.get(code) ?? 0) + 1);
  const size = (o: Outcome) => (o.worst ? Math.abs(o.worst.error) / o.worst.u95 : 0);
  return {
    ...{ name: blunder.name, unseenWhy: blunder.unseen, trials: outcomes.length },
    ...{ told: told.length, refused: outcomes.filter(({ how }) => how === "refused").length },
    unharmed: unseen.filter(({ wrong }) => wrong === 0).length,
    unseenWrong: unseen.filter(({ wrong }) => wrong > 0).length,
    ...{ wrongUnseen: share(unseen), wrongTold: share(told) },
    worst: unseen.reduce<Outcome | null>((a, b) => (a && size(a) >= size(b) ? a : b), null)?.worst ?? null,
    codes,
  };
}

const HEADING = `${"mistake".padEnd(66)}trials   told  refused  unseen: harmless  wrong   wrong figures: unseen  told`;

/** The table, and under it which warnings told and why what is unseen and wrong must be. */
export function blunderTable(rows: readonly BlunderRow[]): string {
  const lines = rows.map((r) => {
    const percent = (n: number) => `${((100 * n) / Math.max(1, r.trials)).toFixed(0)} %`;
    const tenth = (share: number) => `${(100 * share).toFixed(1)} %`;
    return [
      r.name.padEnd(66),
      String(r.trials).padStart(6),
      percent(r.told).padStart(7),
      percent(r.refused).padStart(9),
      percent(r.unharmed).padStart(18),
      percent(r.unseenWrong).padStart(7),
      tenth(r.wrongUnseen).padStart(23),
      tenth(r.wrongTold).padStart(6),
    ].join("");
  });
  const whys = rows
    .filter((r) => r.unseenWrong > 0)
    .map((r) => `${r.name}: ${r.unseenWhy}${r.worst ? ` (worst: ${worstWords(r.worst)})` : ""}`);
  const tellers = rows.flatMap((r) => {
    const often = [...r.codes].sort((a, b) => b[1] - a[1]).map(([code, n]) => `${code} ${n}`);
    return often.length === 0 ? [] : [`${r.name}: ${often.join(", ")}`];
  });
  return [HEADING, ...lines, "", "Told by:", ...tellers, "", "Unseen and wrong, and why:", ...whys].join(
    "\n",
  );
}

function worstWords({ quantity, error, u95 }: NonNullable<Outcome["worst"]>): string {
  const unit = quantity.endsWith("_m") ? "m" : quantity.endsWith("_deg") ? "°" : "";
  return `${quantity.replace(/_(m|s|hz|deg)$/, "").replaceAll("_", " ")} ${error.toFixed(2)} ${unit} off at u95 ${u95.toFixed(2)} ${unit}`;
}
