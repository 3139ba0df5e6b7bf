import { intervalText, plusMinus } from "../../../src/compare/numbers.ts";
import type { Interval } from "../../../src/compare/reliability.ts";
import type { TrialReliability } from "../../../src/compare/trialReliability.ts";
import type { CompareQuantity } from "../../../src/quantities/compared.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import type { CompareDetails } from "../../../src/report/compareDetails.ts";
import { formatNumber, withUnit } from "../../../src/uncertainty/format.ts";

/** How well trials repeat, and how well marking does, where something was repeated. */
export function ReliabilityCard({
  trials,
  marking,
  observers,
  markSdPx,
  quantity,
}: Pick<CompareDetails, "trials" | "marking" | "observers"> & {
  readonly markSdPx: number;
  readonly quantity: CompareQuantity;
}) {
  return (
    <>
      <div className="sheet-scroll">
        <table className="sheet details-table">
          <thead>
            <tr>
              <th>Technique</th>
              <th className="right">typical error, 95 % interval</th>
              <th className="right">as a share</th>
              <th className="right">ICC(3,1)</th>
              <th className="right">ICC(2,1)</th>
              <th className="right">1st minus 2nd, 95 % limits</th>
            </tr>
          </thead>
          <tbody>
            {trials.map((t) => (
              <TechniqueRow key={t.technique} of={t} unit={QUANTITY_WORDS[quantity].unit} />
            ))}
          </tbody>
        </table>
      </div>
      <p className="quiet details-note">
        ICC: how much of what is seen is the skaters being different, not their trials; 1 = all. With few
        skaters its interval is wide, and it says little. (3,1) leaves out a change common to all from trial
        to trial, (2,1) counts it.
      </p>
      <p className="details-note">
        {marking === null
          ? `Marking: too few points are marked again to say how well marks repeat; ${markSdPx} px is taken.`
          : `Marking: one mark is good to ${withUnit(formatNumber(marking.sdPx, 2), "px")} a coordinate (${intervalText([marking.low, marking.high], "px")}; ${marking.points} points marked again).`}
        {observers.value !== null &&
          ` Between ${observers.observers} observers marks lie ${withUnit(formatNumber(observers.value, 2), "px")} apart (SD; ${observers.points} points).`}
      </p>
    </>
  );
}

function TechniqueRow({ of: { technique, found }, unit }: { of: TrialReliability; unit: string }) {
  if (found.value === null) {
    return (
      <tr>
        <th scope="row">{technique}</th>
        <td colSpan={5} className="quiet details-why">
          {found.why}
        </td>
      </tr>
    );
  }
  const { typicalError, cvPercent, icc, limits, n, k } = found.value;
  const head = (
    <th scope="row">
      {technique} <small className="quiet">{`${n} skaters, ${k} trials`}</small>
    </th>
  );
  if (typicalError.value === null) {
    return (
      <tr>
        {head}
        <td colSpan={5} className="quiet details-why">
          {typicalError.why}
        </td>
      </tr>
    );
  }
  const size = withUnit(formatNumber(typicalError.value, 3), unit);
  return (
    <tr>
      {head}
      <td className="right number">
        {size} ({intervalText(typicalError.ci95, unit)})
      </td>
      <td className="right number">
        {cvPercent.value === null ? "–" : `${formatNumber(cvPercent.value, 2)} %`}
      </td>
      {icc.value === null ? (
        <td colSpan={2} className="quiet details-why">
          {icc.why}
        </td>
      ) : (
        <>
          <td className="right number">{coefficient(icc.value.consistency)}</td>
          <td className="right number">{coefficient(icc.value.agreement)}</td>
        </>
      )}
      <td className="right number">
        {limits.value === null ? "–" : plusMinus(limits.value.bias.value, 1.96 * limits.value.sd, unit)}
      </td>
    </tr>
  );
}

function coefficient({ value, ci95 }: Interval): string {
  return `${formatNumber(value, 2)} (${formatNumber(ci95[0], 2)} to ${formatNumber(ci95[1], 2)})`;
}
