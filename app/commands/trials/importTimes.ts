import type { TimeRow } from "../../../src/study/tables.ts";
import { mergeTimes } from "../../../src/trials/mergeTimes.ts";
import type { Command } from "../Command.ts";

/** Takes a table of times into the study, whole or not at all. */
export const importTimes: Command<{ rows: readonly TimeRow[] }> = {
  name: "importTimes",
  label: ({ rows }) => `import ${rows.length} times`,
  run: (whole, { rows }) => ({ ...whole, study: mergeTimes(whole.study, rows).study }),
};
