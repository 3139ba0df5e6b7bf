import type { ManyTechniques } from "../compare/manyTechniques.ts";
import { fastestWords } from "../compare/manyWords.ts";
import { countWord } from "../compare/numbers.ts";
import type { PlainWords } from "../compare/plainWords.ts";

/** Before the first picture, cares included: more is not read. */
const MOST_WORDS = 90;

/** What stands before the first picture, and what had no room there and follows it. */
export interface Opening {
  readonly headline: string;
  readonly support: readonly string[];
  /** Doubts about trials, and which of many techniques was fastest. */
  readonly cares: readonly string[];
  readonly after: readonly string[];
}

export function opening(words: PlainWords, care: string | null, many: ManyTechniques | null): Opening {
  const cares = [
    ...(care === null ? [] : [care]),
    ...(many === null
      ? []
      : [
          fastestWords(many) ??
            `The study has ${countWord(many.techniques.length)} techniques; this compares two of them.`,
        ]),
  ];
  const support = [...words.support];
  const after: string[] = [];
  const tooLong = () =>
    [words.headline, ...support, ...cares].reduce((sum, s) => sum + wordsOf(s), 0) > MOST_WORDS;
  while (support.length > 0 && tooLong()) {
    const waits = support.indexOf(words.canWait ?? "");
    after.unshift(...support.splice(waits >= 0 ? waits : -1, 1));
  }
  return { headline: words.headline, support, cares, after };
}

function wordsOf(sentence: string): number {
  return sentence.split(/\s+/).length;
}
