import type { ReactNode } from "react";
import type { Warning } from "../../../src/reading.ts";
import type { ClipState } from "../../store/clips.ts";
import { failureWords, sameFilmWords } from "./ClipCell.tsx";
import { isContradiction } from "./PairingSaid.tsx";

interface Sentence {
  readonly tone: string;
  readonly text: string;
}

/** What is wrong with a trial's clip in whole sentences, the worst first. */
export function clipSentences(state: ClipState, sameAs: string | null, pairing: Warning | null): Sentence[] {
  const mirrored = state.index?.warnings.filter((w) => w.code === "mirrored") ?? [];
  const failure = failureWords(state);
  return [
    ...(failure ? [failure] : []),
    ...(isContradiction(pairing) ? [{ tone: "bad", text: pairing.text }] : []),
    ...mirrored.map(({ text }) => ({ tone: "bad", text })),
    ...(sameAs === null ? [] : [{ tone: "care", text: sameFilmWords(sameAs) }]),
  ];
}

interface ClipSaidProps {
  readonly sentences: readonly Sentence[];
  readonly id: string;
  /** What can be done about it. */
  readonly children?: ReactNode;
}

/** A line of its own under a trial's, as wide as the sheet: in the clip's narrow column a sentence would take ten. */
export function ClipSaid({ sentences, id, children }: ClipSaidProps) {
  return (
    <>
      <td />
      <td colSpan={8} id={id}>
        {sentences.map(({ tone, text }) => (
          <p key={text} className={`${tone} clip-said`}>
            {text}
          </p>
        ))}
        {children}
      </td>
    </>
  );
}
