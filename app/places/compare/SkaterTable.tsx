import { differenceText } from "../../../src/compare/numberRows.ts";
import { placesOf } from "../../../src/compare/numbers.ts";
import { QUANTITY_WORDS } from "../../../src/compare/quantityWords.ts";
import type { Comparison } from "../../../src/compare/types.ts";
import { formatNumber, withUnit } from "../../../src/uncertainty/format.ts";
import { pairWords } from "../../charts/eachSkaterPlot.ts";

/** The picture as a table: how many trials, and why the verdict. */
export function SkaterTable({ comparison: c }: { comparison: Comparison }) {
  const { unit } = QUANTITY_WORDS[c.quantity];
  const places = Math.max(3, placesOf(c.pairs.map((p) => p.difference)));
  const value = (v: number) => withUnit(formatNumber(v, places), unit);
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
                <td className="right number">{value(p.a)}</td>
                <td className="right number">{value(p.b)}</td>
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
