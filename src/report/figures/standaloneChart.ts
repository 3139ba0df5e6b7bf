import { html, Markup } from "../page/markup.ts";
import { type Key, SHAPES } from "./figure.ts";

const COLOURS: Readonly<Record<string, string>> = {
  card: "#ffffff",
  ink: "#14212b",
  quiet: "#51616e",
  line: "#c3d2dc",
  chip: "#dde7ee",
  accent: "#0b6e8f",
  "accent-soft": "#cfe8f1",
  good: "#14694b",
  care: "#8a5200",
  bad: "#a61b2b",
};
/** Height of the line with the symbols' words, and size of its letters, px. */
const KEY = 34;
const LETTERS = 13;
/** Mean width of a letter, of its height. */
const LETTER = 0.62;

/** A chart that needs no page around it: its colours, its title, its symbols in words, white paper to stand on. */
export function standaloneChart(svg: string, label: string, key: Key): string {
  const [tag = "", width = "0", height = "0"] = /^<svg[^>]*viewBox="0 0 (\d+) (\d+)"[^>]*>/.exec(svg) ?? [];
  const tall = Number(height) + KEY;
  const kept = tag.replace(/^<svg| (xmlns|viewBox|width|height)="[^"]*"|>$/g, "");
  const head = html`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 ${-KEY} ${width} ${tall}" width="${width}" height="${tall}"${new Markup(kept)}><title>${label}</title><rect y="${-KEY}" width="${width}" height="${tall}" fill="#fff"/>${keyLine(key)}`;
  return (
    (head.text + svg.slice(tag.length))
      .replace(/var\(--([a-z-]+)\)/g, (all, name: string) => COLOURS[name] ?? all)
      .replace(/currentColor/g, COLOURS.ink!)
      // Not every drawing library knows that an em is the size of the letters.
      .replace(/ dy="(-?[\d.]+)em"/g, (_, em: string) => ` dy="${(LETTERS * Number(em)).toFixed(1)}"`)
  );
}

function keyLine(key: Key): Markup[] {
  let x = 4;
  return key.map(([shape, words]) => {
    const from = x;
    x += 24 + LETTER * LETTERS * words.length + 18;
    return html`<g transform="translate(${from} ${8 - KEY})">${new Markup(SHAPES[shape])}<text x="24" y="13.5" font-size="${LETTERS}" text-anchor="start" fill="var(--ink)">${words}</text></g>`;
  });
}
