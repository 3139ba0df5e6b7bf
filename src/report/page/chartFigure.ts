import type { Comparison } from "../../compare/types.ts";
import { html, Markup } from "./markup.ts";

/** Symbols of 18 x 18 px. */
export const SHAPES = {
  square:
    '<rect x="3" y="3" width="12" height="12" rx="2" fill="#fff" stroke="var(--ink)" stroke-width="2.5"/>',
  diamond: '<path d="M9 1 l8 8 l-8 8 l-8 -8 z" fill="var(--accent)"/>',
  band: '<rect x="0" y="3" width="18" height="12" rx="3" fill="var(--chip)" stroke="var(--line)"/>',
  interval: '<path d="M1 9 h16 M1 5 v8 M17 5 v8" stroke="var(--ink)" stroke-width="1.5" fill="none"/>',
  ring: '<circle cx="9" cy="9" r="7" fill="none" stroke="var(--care)" stroke-width="2.5"/>',
} as const;

export type Shape = keyof typeof SHAPES;
/** What the symbols mean. */
export type Key = readonly (readonly [Shape, string])[];

/** A chart with the words for its symbols above it and the same picture in words for those who cannot see it. */
export function chartFigure(svg: string, label: string, key: Key, note = ""): Markup {
  return html`<figure><p class="key">${key.map(
    ([shape, words]) =>
      html`<span><svg viewBox="0 0 18 18" aria-hidden="true">${new Markup(SHAPES[shape])}</svg> ${words}</span>`,
  )}</p><div class="chart" role="img" aria-label="${label}">${new Markup(svg)}</div>${note && html`<p class="quiet">${note}</p>`}</figure>`;
}

export function techniquesKey({ a, b }: Pick<Comparison, "a" | "b">): Key {
  return [
    ["square", a],
    ["diamond", b],
  ];
}
