import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";

/** One line each: the mean difference without some of what it rests on. */
export function SensitivityTable({ answer }: { answer: StudyAnswer }) {
  return (
    <div className="sheet-scroll">
      <table className="sheet details-table">
        <thead>
          <tr>
            <th>
              <span className="visually-hidden">What is left out</span>
            </th>
            <th className="right">
              {answer.all.b} minus {answer.all.a}
            </th>
            <th className="right">skaters</th>
          </tr>
        </thead>
        <tbody>
          {answer.sensitivity.map((row) => (
            <tr key={row.label}>
              <th scope="row">
                {row.label}
                {row.note !== "" && <small className="quiet">{row.note}</small>}
              </th>
              <td className={row.isKnown ? "right number" : "quiet details-why"}>{row.text}</td>
              <td className="right number">{row.n}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
