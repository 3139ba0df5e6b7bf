import { useCallback } from "react";
import type { Comparison } from "../../src/compare/types.ts";
import { eachSkaterLabel, eachSkaterPlot } from "../../src/report/figures/eachSkaterPlot.ts";
import { PlotFigure } from "./PlotFigure.tsx";

/** Both means and the difference, one row a skater. */
export function EachSkater({ comparison }: { comparison: Comparison }) {
  const draw = useCallback((width: number) => eachSkaterPlot(comparison, width) as Element, [comparison]);
  return (
    <>
      <p className="chart-key">
        <span>
          <Mark kind="square" /> {comparison.a}
        </span>
        <span>
          <Mark kind="diamond" /> {comparison.b}
        </span>
        {comparison.smallestWorthwhile.value !== null && (
          <span>
            <Mark kind="band" /> too small to be worth it
          </span>
        )}
        {comparison.pairs.some((p) => p.u95.value !== null) && (
          <span>
            <Mark kind="interval" /> 95 % interval of the difference
          </span>
        )}
      </p>
      <PlotFigure draw={draw} label={eachSkaterLabel(comparison)} />
    </>
  );
}

function Mark({ kind }: { kind: "square" | "diamond" | "band" | "interval" }) {
  return (
    <svg width="18" height="18" viewBox="0 0 18 18" aria-hidden="true">
      {kind === "square" && (
        <rect
          x="3"
          y="3"
          width="12"
          height="12"
          rx="2"
          fill="var(--card)"
          stroke="var(--ink)"
          strokeWidth="2.5"
        />
      )}
      {kind === "diamond" && <path d="M9 1 l8 8 l-8 8 l-8 -8 z" fill="var(--accent)" />}
      {kind === "band" && (
        <rect x="0" y="3" width="18" height="12" rx="3" fill="var(--chip)" stroke="var(--line)" />
      )}
      {kind === "interval" && (
        <path d="M1 9 h16 M1 5 v8 M17 5 v8" stroke="var(--ink)" strokeWidth="1.5" fill="none" />
      )}
    </svg>
  );
}
