import type { StudyReport } from "../../../src/report/studyReport.ts";

/** Every trial with its time and what was measured on it. */
export function TrialsTable({ report }: { report: StudyReport }) {
  if (report.trials.length === 0) return <p>There are no trials yet.</p>;
  return (
    <table className="sheet report-trials">
      <thead>
        <tr>
          <th className="right">No.</th>
          <th>Skater</th>
          <th>Technique</th>
          <th className="right">Trial</th>
          <th className="right">Time, s</th>
          {report.columns.map((column) => (
            <th key={column} className="right">
              {column}
            </th>
          ))}
          <th>As asked</th>
          <th>Note</th>
        </tr>
      </thead>
      <tbody>
        {report.trials.map((t) => (
          <tr key={t.order}>
            <td className="right number">{t.order}</td>
            <td>{t.skater}</td>
            <td>{t.technique}</td>
            <td className="right number">{t.repeat}</td>
            <td className="right number">{t.time}</td>
            {t.values.map((value, i) => (
              <td key={report.columns[i]} className="right number">
                {value}
              </td>
            ))}
            <td>{t.asAsked ?? "–"}</td>
            <td>{t.note}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
