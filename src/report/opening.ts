import type { ManyTechniques } from "../compare/manyTechniques.ts";
import { fastestWords } from "../compare/manyWords.ts";
import { countWord } from "../compare/numbers.ts";
import type { PlainWords } from "../compare/plainWords.ts";
import type { Comparison } from "../compare/types.ts";

/** Before the first picture, cares included: more is not read. */
const MOST_WORDS = 90;

/** What stands before the first picture (which of many techniques was clearly fastest first of all), and what had no room there and follows it. */
export interface Opening {
  readonly headline: string;
  readonly support: readonly string[];
  /** Doubts about trials, and which of many techniques was fastest. */
  readonly cares: readonly string[];
  readonly after: readonly string[];
}

export function opening(
  words: PlainWords,
  care: string | null,
  many: ManyTechniques | null,
  worth: Comparison["smallestWorthwhile"],
): Opening {
  const said = worth.value !== null && worth.from === "said" ? worth.value : null;
  const fastest = many && fastestWords(many, said);
  const leads = fastest?.clear && !words.notTested;
  const ofMany =
    many === null || leads
      ? []
      : [
          fastest?.words ??
            `The study has ${countWord(many.techniques.length)} techniques; this compares two of them.`,
        ];
  const cares = [...(care === null ? [] : [care]), ...ofMany];
  const headline = leads ? fastest.words : words.headline;
  // What next is then of the fastest, not of the two that are compared.
  const support = leads
    ? [
        `Pictured are the two asked about. ${words.headline}`,
        ...words.support.filter((s) => !isNext(s)),
        fastest.next,
      ]
    : [...words.support];
  const after: string[] = [];
  const tooLong = () => [headline, ...support, ...cares].reduce((sum, s) => sum + wordsOf(s), 0) > MOST_WORDS;
  while (support.length > 0 && tooLong()) {
    const waits = support.indexOf(words.canWait ?? "");
    const last = leads && support.length > 1 ? -2 : -1;
    after.unshift(...support.splice(waits >= 0 ? waits : last, 1));
  }
  return { headline, support, cares, after };
}

const isNext = (sentence: string) => sentence.startsWith("Next:");

function wordsOf(sentence: string): number {
  return sentence.split(/\s+/).length;
}
