import { lockPlan } from "../../../src/study/lockedPlan.ts";
import type { Command } from "../Command.ts";

/** Locks what is decided beforehand: from now on every change of it is kept and told. */
export const lockThePlan: Command<{ date: string }> = {
  name: "lockThePlan",
  label: () => "lock the plan",
  run: (whole, { date }) => ({ ...whole, study: lockPlan(whole.study, date) }),
};
