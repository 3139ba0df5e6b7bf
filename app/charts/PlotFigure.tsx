import { useEffect, useRef } from "react";
import { useSize } from "../frame/useSize.ts";

interface PlotFigureProps {
  /** Draws for a width in CSS px. Must be the same function until what it draws changes. */
  readonly draw: (width: number) => Element;
  /** What the picture shows, in words, for those who cannot see it. */
  readonly label: string;
}

/** Hosts a chart that a library draws, as wide as there is room. */
export function PlotFigure({ draw, label }: PlotFigureProps) {
  const box = useRef<HTMLDivElement>(null);
  const { width } = useSize(box);
  useEffect(() => {
    if (width < 2) return;
    const drawing = draw(width);
    // The words are the figure's; the library's own names for its groups say nothing.
    for (const part of drawing.querySelectorAll("[aria-label]")) part.removeAttribute("aria-label");
    box.current?.replaceChildren(drawing);
  }, [draw, width]);
  return <div ref={box} className="plot-figure" role="img" aria-label={label} />;
}
