import { intervalText } from "../../../src/compare/numbers.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import type { MarkingReliability } from "../../../src/trials/markingReliability.ts";
import { formatNumber, withUnit } from "../../../src/uncertainty/format.ts";

/** How well single strides repeat when a trial is marked again: what the hand alone adds. */
export function MarkingTable({ marking }: { marking: MarkingReliability }) {
  const { trials, markings, quantities } = marking;
  return (
    <>
      <p className="details-note">
        {trials.length === 1 ? "One trial was" : `${trials.length} trials were`} marked{" "}
        {markings === 2 ? "twice" : `${markings} times`}, the later marks without seeing those before. This is
        how far a single stride's number moves by that; the event frames are the same.
      </p>
      <div className="sheet-scroll">
        <table className="sheet details-table">
          <thead>
            <tr>
              <th>Measure</th>
              <th className="right">strides</th>
              <th className="right">typical error, 95 % interval</th>
              <th className="right">1st minus 2nd, 95 % limits</th>
              <th className="right">ICC(2,1)</th>
            </tr>
          </thead>
          <tbody>
            {quantities.map(({ quantity, found }) => (
              <tr key={quantity}>
                <th scope="row">{QUANTITY_WORDS[quantity].name}</th>
                {found.value === null ? (
                  <td colSpan={4} className="quiet details-why">
                    {found.why}
                  </td>
                ) : (
                  <Cells found={found.value} unit={QUANTITY_WORDS[quantity].unit} />
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

type Found = Extract<MarkingReliability["quantities"][number]["found"], { value: { n: number } }>["value"];

function Cells({ found: { n, typicalError, limits, icc }, unit }: { found: Found; unit: string }) {
  const show = (x: number) => formatNumber(x, 3);
  if (typicalError.value === null) {
    return (
      <>
        <td className="right number">{n}</td>
        <td colSpan={3} className="quiet details-why">
          {typicalError.why}
        </td>
      </>
    );
  }
  return (
    <>
      <td className="right number">{n}</td>
      <td className="right number">
        {withUnit(show(typicalError.value), unit)} <small>({intervalText(typicalError.ci95, unit)})</small>
      </td>
      <td className="right number">
        {limits.value === null
          ? "–"
          : `${show(limits.value.low.value)} to ${withUnit(show(limits.value.high.value), unit)}`}
      </td>
      <td className="right number">
        {icc.value === null ? "–" : formatNumber(icc.value.agreement.value, 2)}
      </td>
    </>
  );
}
