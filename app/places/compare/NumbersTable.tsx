import { numberRows } from "../../../src/compare/numberRows.ts";
import type { Comparison } from "../../../src/compare/types.ts";

/** Every number with its one-line explanation; a second column without the trials that were not as asked. */
export function NumbersTable({ all, asAskedOnly }: { all: Comparison; asAskedOnly: Comparison | null }) {
  const without = asAskedOnly && numberRows(asAskedOnly);
  return (
    <div className="sheet-scroll">
      <table className="sheet numbers">
        {without && (
          <thead>
            <tr>
              <th>
                <span className="visually-hidden">Number</span>
              </th>
              <th className="right">all trials</th>
              <th className="right">without those not as asked</th>
            </tr>
          </thead>
        )}
        <tbody>
          {numberRows(all).map((row, i) => (
            <tr key={row.label}>
              <th scope="row">
                <span className="numbers-label">{row.label}</span>
                <small className="quiet">{row.meaning}</small>
              </th>
              <NumberCell row={row} />
              {without?.[i] && <NumberCell row={without[i]} />}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function NumberCell({ row }: { row: { readonly text: string; readonly isKnown: boolean } }) {
  return <td className={row.isKnown ? "right number numbers-had" : "quiet numbers-why"}>{row.text}</td>;
}
