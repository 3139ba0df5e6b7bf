import { resolve } from "node:path";
import { poolJson } from "../../src/pool/poolJson.ts";
import { poolRows } from "../../src/pool/poolStudies.ts";
import { poolWords } from "../../src/pool/poolWords.ts";
import { COMPARE_QUANTITIES } from "../../src/quantities/compared.ts";
import { readEvening, type SeasonEvening, shortNames } from "../season/readEvening.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs, wholeOption } from "./options.ts";

const MANY = 10_000;
/** Studies read beside each other: reading waits for the disk. */
const AT_ONCE = 8;

export const pool: Command = {
  does: "several evenings of one question as one answer",
  help: `blademark pool STUDY STUDY ... --a TECHNIQUE --b TECHNIQUE [--quantity Q] [--codes] [--looks N] [--json]

Each skater's difference on each evening (b minus a), then a model with random evenings, and skaters where they came more
than once. Times over other distances are not pooled.

  --a, --b    the two techniques by name; where evenings call one differently, all its names with commas between
  --quantity  time_s (where not given) or a measured quantity, as in compare
  --codes     the same code is the same skater whatever the name; else code and name must be the same
  --looks     how often the plan of the season says to look, this time included (1 where not given): the looks share the 5 %
              of wrong answers. Looking more often than that, and stopping when it pleases, makes more of them
  --json      one JSON object and nothing else`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      {
        a: { type: "string" },
        b: { type: "string" },
        quantity: { type: "string" },
        codes: { type: "boolean" },
        looks: { type: "string" },
        json: { type: "boolean" },
      },
      [1, MANY],
    );
    if (values.a === undefined || values.b === undefined)
      throw new UsageError("Which two techniques? Give --a and --b.");
    const [a, b] = [namesIn(values.a), namesIn(values.b)];
    if (a.length === 0 || b.length === 0) throw new UsageError("--a and --b need the name of a technique.");
    const quantity = COMPARE_QUANTITIES.find((q) => q === (values.quantity ?? "time_s"));
    if (!quantity)
      throw new UsageError(
        `--quantity must be one of ${COMPARE_QUANTITIES.join(", ")}, not "${values.quantity}".`,
      );
    const looks = values.looks === undefined ? 1 : wholeOption("--looks", values.looks, 1, 100);
    const folders = positionals.map((p) => resolve(p));
    if (new Set(folders).size < folders.length) throw new UsageError("One study stands there twice.");
    const named = shortNames(folders);
    const evenings: SeasonEvening[] = [];
    for (let i = 0; i < folders.length; i += AT_ONCE)
      evenings.push(
        ...(await Promise.all(
          folders
            .slice(i, i + AT_ONCE)
            .map((folder, k) => readEvening(folder, named[i + k]!, (text) => io.say(text))),
        )),
      );
    const rows = poolRows(evenings, { a, b, quantity, byCode: values.codes === true });
    const json = poolJson(evenings, { a: a[0]!, b: b[0]!, quantity, looks }, rows);
    io.out(values.json ? JSON.stringify(json, null, 2) : poolWords(json).join("\n"));
    return 0;
  },
};

function namesIn(text: string): string[] {
  return text
    .split(",")
    .map((name) => name.trim())
    .filter((name) => name !== "");
}
