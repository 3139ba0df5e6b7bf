/**
 * The one error the core throws for input that cannot give what was asked.
 *
 * `code` is for programs, `message` for developers (function, need, offender, units), `coach` for the person
 * at the bench: what is wrong and what to do, however long what they quote. Any other error class is a bug and stays loud.
 */
export class MeasureError extends Error {
  readonly code: string;
  readonly coach: string;
  readonly data: Readonly<Record<string, unknown>>;

  constructor(code: string, message: string, coach: string, data: Readonly<Record<string, unknown>> = {}) {
    super(shortened(message));
    this.name = "MeasureError";
    this.code = code;
    this.coach = shortened(coach);
    this.data = data;
  }
}

/** Longer than any sentence of ours with a name or a path in it. */
const MOST = 2000;
const MOST_QUOTED = 160;

/**
 * A sentence as a person can read it, whatever it quotes: names and values come from files that anybody may have written.
 * What is quoted loses its middle first, then the sentence itself, so that what is wrong and what to do still stand there.
 */
export function shortened(text: string): string {
  if (text.length <= MOST_QUOTED) return text;
  // Quotes are looked for only in what can be read anyway.
  const readable = withoutMiddle(text, 50 * MOST, 0.5);
  const quoted = readable.replace(/"[^"]+"/g, (words) => withoutMiddle(words, MOST_QUOTED, 0.75));
  return withoutMiddle(quoted, MOST, 0.6);
}

/** @param before the share of what is kept that comes from the beginning */
function withoutMiddle(text: string, most: number, before: number): string {
  if (text.length <= most) return text;
  const head = Math.round((most - 3) * before);
  const start = text.slice(0, head).replace(/[\uD800-\uDBFF]$/, "");
  const end = text.slice(text.length - (most - 3 - head)).replace(/^[\uDC00-\uDFFF]/, "");
  return `${start} … ${end}`;
}
