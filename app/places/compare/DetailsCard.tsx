import { manyWords } from "../../../src/compare/manyWords.ts";
import { countWord, intervalText, plusMinus, pText } from "../../../src/compare/numbers.ts";
import { withinTechniqueWords, withinWords } from "../../../src/compare/withinWords.ts";
import type { CompareQuantity } from "../../../src/quantities/compared.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import type { CompareDetails } from "../../../src/report/compareDetails.ts";
import { formatNumber } from "../../../src/uncertainty/format.ts";

/** How time goes with what was measured, in words; then each measure's numbers. */
export function WithinCard({ within }: Pick<CompareDetails, "within">) {
  const first = within.find((w) => w.line.value !== null) ?? within[0];
  if (!first) return null;
  const [said, caution] = withinWords(first.line, first.measure);
  return (
    <>
      <p>{said}</p>
      <p>{withinTechniqueWords(first.repeats, first.measure)}</p>
      {caution && (
        <p className="quiet">
          {caution} Of the {countWord(within.length)} measures below, one stands out by chance alone in about
          one study of {countWord(Math.round(1 / (1 - 0.95 ** within.length)))}.
        </p>
      )}
      <div className="sheet-scroll">
        <table className="sheet details-table">
          <thead>
            <tr>
              <th>Measure</th>
              <th className="right">time for one unit more, 95 % interval</th>
              <th className="right">correlation</th>
              <th className="right">p</th>
            </tr>
          </thead>
          <tbody>
            {within.map(({ measure, line }) => {
              const { name, unit } = QUANTITY_WORDS[measure];
              return (
                <tr key={measure}>
                  <th scope="row">{name}</th>
                  {line.value === null ? (
                    <td colSpan={3} className="quiet details-why">
                      {line.why}
                    </td>
                  ) : (
                    <>
                      <td className="right number">
                        {plusMinus(
                          line.value,
                          (line.ci95[1] - line.ci95[0]) / 2,
                          unit === "/s" ? "s per push/s" : `s per ${unit}`,
                        )}{" "}
                        ({intervalText(line.ci95, "s")})
                      </td>
                      <td className="right number">{formatNumber(line.r, 2)}</td>
                      <td className="right number">{pText(line.p).replace("p = ", "").replace("p ", "")}</td>
                    </>
                  )}
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </>
  );
}

/** Every pair of techniques, where there are more than two. */
export function TechniquesCard({
  many,
  quantity,
}: {
  many: NonNullable<CompareDetails["many"]>;
  quantity: CompareQuantity;
}) {
  const { unit } = QUANTITY_WORDS[quantity];
  return (
    <>
      {manyWords(many, quantity).map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <div className="sheet-scroll">
        <table className="sheet details-table">
          <thead>
            <tr>
              <th>Pair</th>
              <th className="right">skaters</th>
              <th className="right">mean difference, 95 % interval</th>
              <th className="right">p of t</th>
              <th className="right">p adjusted (Holm)</th>
            </tr>
          </thead>
          <tbody>
            {many.pairs.map((pair) => (
              <tr key={`${pair.a} ${pair.b}`}>
                <th scope="row">
                  {pair.b} minus {pair.a}
                </th>
                <td className="right number">{pair.n}</td>
                {pair.difference.value === null || "why" in pair.difference.ci95 ? (
                  <td colSpan={3} className="quiet details-why">
                    {pair.difference.value === null
                      ? pair.difference.why
                      : "why" in pair.difference.ci95
                        ? pair.difference.ci95.why
                        : ""}
                  </td>
                ) : (
                  <>
                    <td className="right number">
                      {plusMinus(
                        pair.difference.value,
                        (pair.difference.ci95[1] - pair.difference.ci95[0]) / 2,
                        unit,
                      )}{" "}
                      ({intervalText(pair.difference.ci95, unit)})
                    </td>
                    <td className="right number">{numberOf(pair.p)}</td>
                    <td className="right number">{numberOf(pair.pHolm)}</td>
                  </>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function numberOf(p: { readonly value: number | null }): string {
  return p.value === null ? "–" : pText(p.value).replace("p = ", "").replace("p ", "");
}
