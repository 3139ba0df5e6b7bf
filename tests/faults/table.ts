import { appendFileSync, mkdirSync } from "node:fs";
import { join } from "node:path";

/** All cases, as `npm run faults` runs them, or the few that `npm test` has time for. */
export const ALL = process.env.BLADEMARK_FAULTS === "all";

/** Counts what came of each case of a fault. */
export function outcomes(fault: string) {
  const counts = new Map<string, number>();
  return {
    came(outcome: string) {
      counts.set(outcome, (counts.get(outcome) ?? 0) + 1);
    },
    /** One line of the table that `npm run faults` prints. */
    done() {
      const folder = join(import.meta.dirname, "../../test-output");
      mkdirSync(folder, { recursive: true });
      const cases = [...counts.values()].reduce((a, b) => a + b, 0);
      const row = JSON.stringify({ fault, cases, outcomes: Object.fromEntries(counts) });
      appendFileSync(join(folder, "faults.jsonl"), `${row}\n`);
    },
  };
}
