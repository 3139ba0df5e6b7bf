import type { DrawingDocument } from "../figures/drawing.ts";
import { type Figure, SHAPES } from "../figures/figure.ts";
import { standaloneChart } from "../figures/standaloneChart.ts";
import type { StudyFigures } from "../figures/studyFigures.ts";
import { html, Markup } from "./markup.ts";

/** Charts are drawn this wide: the text then prints at 9 to 10 pt on A4 and Letter. */
const WIDTH = 688;

/** A chart as it stands in the report, and as a file of its own. */
export interface StudyChart {
  readonly name: string;
  readonly figure: Markup;
  readonly svg: string;
}

/** A chart with the words for its symbols above it and the same picture in words for those who cannot see it. */
export function studyChart(figure: Figure, document: DrawingDocument | undefined, width = WIDTH): StudyChart {
  const { name, key, label, note } = figure;
  // The library labels groups without a role, which readers of the screen may not do; the words stand on the figure.
  const bare = figure.draw(width, document).outerHTML.replace(/ aria-(label|hidden)="[^"]*"/g, "");
  const markup = html`<figure><p class="key">${key.map(
    ([shape, words]) =>
      html`<span><svg viewBox="0 0 18 18" aria-hidden="true">${new Markup(SHAPES[shape])}</svg> ${words}</span>`,
  )}</p><div class="chart" role="img" aria-label="${label}">${new Markup(bare)}</div>${note && html`<p class="quiet">${note}</p>`}</figure>`;
  return { name, figure: markup, svg: standaloneChart(bare, label, key) };
}

/** The pictures there are. */
export type StudyCharts = Readonly<Partial<Record<keyof StudyFigures, StudyChart>>>;

export function studyCharts(figures: StudyFigures, document: DrawingDocument | undefined): StudyCharts {
  return Object.fromEntries(
    Object.entries(figures).flatMap(([which, figure]) =>
      figure ? [[which, studyChart(figure, document)]] : [],
    ),
  );
}
