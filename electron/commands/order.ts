import { balanceWords } from "../../src/trials/orderBalance.ts";
import { type RunOrder, runOrder } from "../../src/trials/runOrder.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs, wholeOption } from "./options.ts";

export const order: Command = {
  does: "a counterbalanced run order",
  help: `blademark order --skaters N|LIST --techniques LIST --repeats N [--seed N] [--json]

Two techniques: each skater skates ABBA or BAAB, half of them each. More: Williams designs.

  --skaters      how many (named S1, S2, ...), or their names separated by commas
  --techniques   names separated by commas
  --repeats      trials of each technique for each skater, 1 to 20
  --seed N       the same seed gives the same order; 1 where not given
  --json         one JSON object and nothing else`,
  async run(args, io) {
    const options = {
      skaters: { type: "string" },
      techniques: { type: "string" },
      repeats: { type: "string" },
      seed: { type: "string" },
      json: { type: "boolean" },
    } as const;
    const { values } = readArgs(args, options, [0, 0]);
    if (values.skaters === undefined || values.techniques === undefined || values.repeats === undefined) {
      throw new UsageError("An order needs --skaters, --techniques and --repeats.");
    }
    const skaters = namesOf("--skaters", values.skaters, "S");
    const techniques = namesOf("--techniques", values.techniques, null);
    const repeats = wholeOption("--repeats", values.repeats, 1, 20);
    const seed = wholeOption("--seed", values.seed ?? "1", 0, 2 ** 32 - 1);
    const made = runOrder({ skaters, techniques, repeats, seed });
    io.out(
      values.json
        ? JSON.stringify({
            format: "blademark.order",
            version: 1,
            seed,
            skaters,
            techniques,
            repeats,
            rows: made.rows,
            balance: {
              times: made.balance.times,
              follows: made.balance.follows,
              mean_place: made.balance.meanPlace,
            },
            notes: made.notes,
          })
        : text(made, seed),
    );
    return 0;
  },
};

const MOST_SKATERS = 200;

/** @param stem names a count: 3 -> S1, S2, S3; null = a list only */
function namesOf(option: string, given: string, stem: string | null): string[] {
  if (stem !== null && /^\s*-?\d+\s*$/.test(given)) {
    const count = wholeOption(option, given, 1, MOST_SKATERS);
    return Array.from({ length: count }, (_, i) => `${stem}${i + 1}`);
  }
  const names = given.split(",").map((name) => name.trim());
  if (names.some((name) => name === "")) throw new UsageError(`${option} holds an empty name: "${given}".`);
  return names;
}

function text({ rows, balance, notes }: RunOrder, seed: number): string {
  const wide = (of: (row: (typeof rows)[number]) => string, head: string) =>
    2 + Math.max(head.length, ...rows.map((row) => of(row).length));
  const [who, what] = [wide((r) => r.skater, "skater"), wide((r) => r.technique, "technique")];
  return [
    `${"no.".padEnd(5)}${"skater".padEnd(who)}${"technique".padEnd(what)}trial  time, s`,
    ...rows.map(
      (r) =>
        `${String(r.order).padEnd(5)}${r.skater.padEnd(who)}${r.technique.padEnd(what)}${String(r.repeat).padEnd(7)}______`,
    ),
    "",
    `Seed ${seed}.`,
    ...balanceWords(balance),
    ...notes,
  ].join("\n");
}
