import { useMemo } from "react";
import type { TrialQuantity } from "../../../src/quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import type { WholeStudy } from "../../../src/study/types.ts";
import { countedReadings } from "../../../src/trials/countedReadings.ts";
import { skaterSides } from "../../../src/trials/skaterSides.ts";
import { formatReading } from "../../../src/uncertainty/format.ts";
import { wholeReading } from "../../store/readings.ts";
import { Card } from "../shared/Card.tsx";

/** Both sides of each skater with each technique beside each other. */
export function SidesCard({
  whole,
  techniques,
  quantity,
}: {
  whole: WholeStudy;
  techniques: readonly string[];
  quantity: TrialQuantity;
}) {
  const sides = useMemo(() => {
    const readingOf = countedReadings(whole, (trial) => wholeReading(whole, trial));
    return skaterSides(whole.study, techniques, quantity, "names", readingOf);
  }, [whole, techniques, quantity]);
  const { name, unit } = QUANTITY_WORDS[quantity];
  if (sides.every(({ found }) => found.value === null)) return null;
  return (
    <Card title="Left and right" note={`${name}, ${unit}; mean of the trials that have both`}>
      <div className="sheet-scroll">
        <table className="sheet details-table">
          <thead>
            <tr>
              <th>Skater</th>
              <th>Technique</th>
              <th className="right">left</th>
              <th className="right">right</th>
              <th className="right">left minus right</th>
              <th className="right">trials</th>
            </tr>
          </thead>
          <tbody>
            {sides.map(({ skater, technique, found }) => (
              <tr key={`${skater} ${technique}`}>
                <th scope="row">{skater}</th>
                <td>{technique}</td>
                {found.value === null ? (
                  <td colSpan={4} className="quiet details-why">
                    {found.why}
                  </td>
                ) : (
                  <>
                    <td className="right number">{formatReading(found.value.left, "")}</td>
                    <td className="right number">{formatReading(found.value.right, "")}</td>
                    <td className="right number">
                      {Math.abs(found.value.leftMinusRight.value) > found.value.leftMinusRight.u95 ? (
                        <strong>{formatReading(found.value.leftMinusRight, "")}</strong>
                      ) : (
                        formatReading(found.value.leftMinusRight, "")
                      )}
                    </td>
                    <td className="right number">{found.value.n}</td>
                  </>
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="quiet">
        Bold: the sides differ by more than they could be measured to. ± is for what was marked, and more
        trials do not make it narrower: they share the camera and the ice points.
      </p>
    </Card>
  );
}
