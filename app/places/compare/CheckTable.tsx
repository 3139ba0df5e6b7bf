import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import { meanText } from "../../../src/report/figures/techniqueCheckFigure.ts";
import type { TechniqueCheck } from "../../../src/trials/techniqueCheck.ts";
import { AsAskedChip } from "../shared/AsAskedChip.tsx";

/** The technique check as a table: each trial's mean ± u95, whether it is as asked, and why. */
export function CheckTable({ check }: { check: TechniqueCheck }) {
  const { unit } = QUANTITY_WORDS[check.quantity];
  return (
    <details className="chart-table">
      <summary>Mean, answer and reason for each trial</summary>
      <div className="sheet-scroll">
        <table className="sheet check-table">
          <thead>
            <tr>
              <th>Trial</th>
              <th className="right">Mean ± 95 %</th>
              <th>As asked</th>
            </tr>
          </thead>
          <tbody>
            {check.trials.map((t) => (
              <tr key={t.trial.id}>
                <td>
                  {t.skater}, {check[t.which].technique.name}, trial {t.trial.repeat}
                </td>
                <td className="right number">{"why" in t.mean ? "not measured" : meanText(t, unit)}</td>
                <td>
                  <AsAskedChip asked={t.asked} />
                  <small className="quiet check-why">{t.asked.why}</small>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
