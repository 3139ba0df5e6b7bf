import { html, type Markup } from "./markup.ts";

/** What a minus of these says: not less than nothing. */
export function minusWords(texts: readonly string[]): Markup | null {
  return texts.some((text) => text.startsWith("\u2212"))
    ? html`<p class="quiet">Touchdown or recovery with a minus: the blade was past the midline, on the other blade’s side.</p>`
    : null;
}
