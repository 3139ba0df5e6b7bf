import { Button } from "@mantine/core";
import { type AtPointOfTwo, worthOfSecond } from "../../../../src/ice/placement/twoCameras.ts";
import type { CameraPlan, Lane } from "../../../../src/study/types.ts";
import { withUnit } from "../../../../src/uncertainty/format.ts";
import { CameraFields } from "./CameraFields.tsx";
import { QUANTITIES, shownNumber, unitOf } from "./plannedWords.ts";

interface Props {
  /** null = there is none. */
  readonly plan: CameraPlan | null;
  readonly points: readonly AtPointOfTwo[] | null;
  readonly unit: Lane["unit"];
  readonly readOnly: boolean;
  onPut(plan: CameraPlan | null, what: string): string | null;
  /** Puts it where one often stands. */
  first(): void;
}

/** From the bench, looking across the middle of the lane, with the first one's lens and picture. */
export function beside(plan: CameraPlan, lane: number): CameraPlan {
  return { ...plan, x: lane / 2, y: -14, aimX: lane / 2, aimY: 0 };
}

/** A second camera, and what it is worth. */
export function SecondCamera({ plan, points, unit, readOnly, onPut, first }: Props) {
  if (!plan)
    return readOnly ? null : (
      <Button mt="sm" variant="default" onClick={first}>
        Try a second camera
      </Button>
    );
  const worth = points && worthOfSecond(points);
  return (
    <section className="second-camera" aria-label="Second camera">
      <div className="row">
        <h3>Second camera</h3>
        {!readOnly && (
          <Button size="compact-sm" variant="default" onClick={() => onPut(null, "")}>
            One camera only
          </Button>
        )}
      </div>
      <CameraFields plan={plan} unit={unit} readOnly={readOnly} onPut={onPut} />
      {worth ? (
        <table className="sheet second-worth">
          <caption>
            One stride about {worth.x.toFixed(0)} m along the lane, where both see the skater, ± half of its
            95 % interval. Numbers over the lane are those of both.
          </caption>
          <thead>
            <tr>
              <th>What</th>
              <th className="right">better camera alone</th>
              <th className="right">both</th>
            </tr>
          </thead>
          <tbody>
            {worth.of.map(({ quantity, alone, both }) => (
              <tr key={quantity}>
                <td>{QUANTITIES.find((q) => q.value === quantity)?.label}</td>
                {[alone, both].map((value, k) => (
                  <td key={k === 0 ? "alone" : "both"} className="right number">
                    {value === null
                      ? "refused"
                      : `± ${withUnit(shownNumber(value, quantity), unitOf(quantity))}`}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      ) : (
        <p className="care">Nowhere do both cameras see the skater whole: turn one of them.</p>
      )}
    </section>
  );
}
