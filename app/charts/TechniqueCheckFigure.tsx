import { useCallback } from "react";
import { techniqueCheckLabel, techniqueCheckPlot } from "../../src/report/figures/techniqueCheckPlot.ts";
import type { TechniqueCheck } from "../../src/trials/techniqueCheck.ts";
import { PlotFigure } from "./PlotFigure.tsx";

/** Every trial against what was asked, or what is missing for that. */
export function TechniqueCheckFigure({ check }: { check: TechniqueCheck }) {
  const draw = useCallback((width: number) => techniqueCheckPlot(check, width) as Element, [check]);
  const measured = check.trials.filter((t) => !("why" in t.mean)).length;
  const unmeasured = check.trials.length - measured;
  if (measured === 0) {
    return (
      <p className="empty">
        No trial is measured yet. Add a clip in Times, then set the scale and mark a few strides in Measure.
      </p>
    );
  }
  return (
    <>
      <PlotFigure draw={draw} label={techniqueCheckLabel(check)} />
      <p className="quiet chart-foot">
        Trial means with their 95 % intervals; a ring: not as asked.
        {unmeasured > 0 && ` ${unmeasured} of ${check.trials.length} trials can’t be shown.`}
        {!check.a.band && !check.b.band && " Plan has no band for either technique."}
      </p>
    </>
  );
}
