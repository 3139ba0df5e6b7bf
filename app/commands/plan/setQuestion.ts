import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

export const setQuestion: Command<{ question: string }> = {
  name: "setQuestion",
  label: () => "change the question",
  run: (whole, { question }) => withStudy(whole, { question: question.trim() }),
};
