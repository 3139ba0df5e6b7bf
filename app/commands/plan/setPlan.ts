import type { Plan } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Says a part of what is decided before the first time. */
export const setPlan: Command<{ change: Omit<Plan, "locked">; what: string }> = {
  name: "setPlan",
  label: ({ what }) => `change ${what}`,
  run: (whole, { change }) => withStudy(whole, { plan: { ...whole.study.plan, ...change } }),
};
