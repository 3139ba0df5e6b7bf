import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Chooses the two techniques that are compared; the difference is b minus a. */
export const setCompared: Command<{ a: string; b: string }> = {
  name: "setCompared",
  label: () => "choose what is compared",
  run: (whole, { a, b }) => (a === b ? whole : withStudy(whole, { compare: { a, b } })),
};
