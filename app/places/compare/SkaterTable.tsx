import { differenceText } from "../../../src/compare/estimateText.ts";
import { placesOf, plusMinus } from "../../../src/compare/numbers.ts";
import type { Comparison, Pair } from "../../../src/compare/types.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import { pairWords } from "../../../src/report/figures/eachSkaterRows.ts";
import { formatNumber, withUnit } from "../../../src/uncertainty/format.ts";

/** The picture as a table: how many trials, and why the verdict. */
export function SkaterTable({ comparison: c }: { comparison: Comparison }) {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const places = placesOf(
    c.pairs.map((p) => p.difference),
    unit,
    3,
  );
  const meanOf = (v: number, u95: Pair["u95A"]) =>
    u95.value !== null && u95.value > 0
      ? plusMinus(v, u95.value, unit)
      : withUnit(formatNumber(v, places), unit);
  return (
    <details className="chart-table">
      <summary>As a table, with the reason for each verdict</summary>
      <div className="sheet-scroll">
        <table className="sheet">
          <thead>
            <tr>
              <th>Skater</th>
              <th className="right">{c.a}</th>
              <th className="right">{c.b}</th>
              <th className="right">difference</th>
              <th className="right">trials</th>
              <th>verdict</th>
            </tr>
          </thead>
          <tbody>
            {c.pairs.map((p) => (
              <tr key={p.skater}>
                <td>{p.skater}</td>
                <td className="right number">{meanOf(p.a, p.u95A)}</td>
                <td className="right number">{meanOf(p.b, p.u95B)}</td>
                <td className="right number">{differenceText(p.difference, p.u95, unit)}</td>
                <td className="right number">
                  {p.nA} + {p.nB}
                </td>
                <td>
                  {pairWords(p)}: {p.why}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
