import { useCallback } from "react";
import { type Figure, type Key, SHAPES } from "../../src/report/figures/figure.ts";
import { PlotFigure } from "./PlotFigure.tsx";

/** A picture of the study as the report has it: its symbols in words, the drawing, what stands below it. */
export function StudyFigure({ figure }: { figure: Figure }) {
  const draw = useCallback((width: number) => figure.draw(width) as Element, [figure]);
  return (
    <>
      <ChartKey of={figure.key} />
      <PlotFigure draw={draw} label={figure.label} />
      {figure.note !== "" && <p className="quiet chart-foot">{figure.note}</p>}
    </>
  );
}

function ChartKey({ of }: { of: Key }) {
  return (
    <p className="chart-key">
      {of.map(([shape, words]) => (
        <span key={words}>
          <svg
            width="18"
            height="18"
            viewBox="0 0 18 18"
            aria-hidden="true"
            // biome-ignore lint/security/noDangerouslySetInnerHtml: one of our own fixed shapes.
            dangerouslySetInnerHTML={{ __html: SHAPES[shape] }}
          />{" "}
          {words}
        </span>
      ))}
    </p>
  );
}
