import type { MarkingDepth } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

const WORDS: Record<MarkingDepth, string> = {
  width: "width and touchdown",
  recovery: "recovery",
  arms: "arms",
  everything: "everything",
};

/** What is marked of each stride, by the question; for the whole study. */
export const setMarkingDepth: Command<{ depth: MarkingDepth }> = {
  name: "setMarkingDepth",
  label: ({ depth }) => `mark ${WORDS[depth]}`,
  run: (whole, { depth }) => withStudy(whole, { markingDepth: depth }),
};
