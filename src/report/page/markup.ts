/** Text that is already HTML. */
export class Markup {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

type Part = string | number | Markup | null | undefined | false | readonly Part[];

/** HTML in which everything put in is text, unless it is markup already. Lists are joined, null and false are nothing. */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  return new Markup(strings.reduce((all, text, k) => all + written(parts[k - 1]) + text));
}

export function escaped(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");
}

function written(part: Part): string {
  if (part === null || part === undefined || part === false) return "";
  if (part instanceof Markup) return part.text;
  if (typeof part === "object") return part.map(written).join("");
  return escaped(together(String(part)));
}

export function list(items: readonly (string | Markup)[]): Markup | null {
  return items.length === 0 ? null : html`<ul>${items.map((item) => html`<li>${item}</li>`)}</ul>`;
}

interface Head {
  readonly text: string;
  readonly right?: boolean;
  /** Its cells stay on one line, unless they are so long that the table would not fit the paper. */
  readonly whole?: boolean;
}

const LONGEST_LINE = 36;
/** Tables of up to so many rows are not cut by the end of a sheet. */
const KEPT_ROWS = 10;

/** A table; cells beside a right-aligned head are numbers. The first cell of each row heads it where asked. */
export function tableOf(
  caption: string,
  heads: readonly (string | Head)[],
  rows: readonly (readonly (string | number | Markup)[])[],
  rowHeads = false,
): Markup {
  const head = heads.map((h) => (typeof h === "string" ? { text: h } : h) as Head);
  const align = (k: number, cell: string | number | Markup = "") => {
    const { right: numbers = false, whole: kept = false } = head[k] ?? {};
    const oneLine = kept && !(cell instanceof Markup) && String(cell).length <= LONGEST_LINE;
    const names = [...(numbers ? ["right"] : []), ...(oneLine ? ["one-line"] : [])].join(" ");
    return new Markup(names && ` class="${names}"`);
  };
  const kept = new Markup(rows.length <= KEPT_ROWS ? ' class="kept"' : "");
  return html`<table${kept}><caption>${caption}</caption><thead><tr>${head.map((h, k) =>
    h.text === "" ? html`<td></td>` : html`<th scope="col"${align(k)}>${h.text}</th>`,
  )}</tr></thead><tbody>${rows.map(
    (row) =>
      html`<tr>${row.map((cell, k) =>
        rowHeads && k === 0
          ? html`<th scope="row"${align(k, cell)}>${cell}</th>`
          : html`<td${align(k, cell)}>${unbroken(cell)}</td>`,
      )}</tr>`,
  )}</tbody></table>`;
}

export const right = (text: string): Head => ({ text, right: true });
export const oneLine = (text: string): Head => ({ text, whole: true });

/** A number stays on the line of its sign and its unit: "± 0.04 s", "p = 0.063". */
function together(text: string): string {
  return text
    .replace(/(±|[=<]) (?=[−\d])/g, "$1\u00a0")
    .replace(/\bp (?=[=<])/g, "p\u00a0")
    .replace(/(\d) (?=(?:s|m|cm|px|Hz|%)(?![\p{L}\d]))/gu, "$1\u00a0");
}

/** "1.279 ± 0.022" stays on one line; longer text may break. */
function unbroken(cell: string | number | Markup): string | number | Markup {
  return typeof cell === "string" && /^[\u2212\d.]+ ± [\d.]+$/.test(cell)
    ? cell.replaceAll(" ", "\u00a0")
    : cell;
}
