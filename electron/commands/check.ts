import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { MARKS_PREFIX } from "../../src/study/journal.ts";
import { checkStudy, removeTemporary } from "../vault/checkStudy.ts";
import type { Finding } from "../vault/finding.ts";
import { Vault } from "../vault/Vault.ts";
import type { Command, Io } from "./Command.ts";
import { readArgs } from "./options.ts";

export const check: Command = {
  does: "health of a study folder; --repair puts back what can be",
  help: `blademark check STUDY [--repair] [--content] [--json]

Looks at every file of a study folder and says what is wrong with it. Nothing is changed.
Exit status 0: no problem (left); 1: there are problems.

  --repair    put last good copies in the place of damaged and missing files (the damaged ones are kept in "damaged"),
              write what only the journal holds, tidy up after programs that were killed
  --content   read the clips as well: is each still the file that was added? (slow)
  --json      one JSON object on standard output`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      { repair: { type: "boolean" }, content: { type: "boolean" }, json: { type: "boolean" } },
      [1, 1],
    );
    const folder = resolve(positionals[0] as string);
    const content = values.content ?? false;
    const before = await checkStudy(folder, new Date(), content);
    const repairing = (values.repair ?? false) && before.some((f) => f.kind === "repairable");
    if (repairing) await repair(folder, before);
    const after = repairing ? await checkStudy(folder, new Date(), content) : before;
    const repaired = before.filter((b) => b.kind === "repairable" && !after.some((a) => sameAs(a, b)));
    if (values.json)
      io.out(JSON.stringify({ format: "blademark.check", version: 1, findings: after, repaired }));
    else tell(after, repaired, io);
    return after.some((f) => f.kind !== "note") ? 1 : 0;
  },
};

/** Opens the study as a window would, which puts most things right, and writes what is shown from good copies. */
async function repair(folder: string, findings: readonly Finding[]): Promise<void> {
  const vault = await Vault.open(folder);
  const { readOnly, notices, marks, stepsMade } = vault.opened();
  if (readOnly)
    throw new MeasureError(
      "read-only",
      `${folder} is open for reading only`,
      `Nothing was repaired. ${notices.join(" ")}`,
    );
  try {
    for (const { code, where } of findings) {
      if (code !== "damaged" && code !== "missing") continue;
      const name = where.replace(/\.json$/, "");
      const trial = name.slice(MARKS_PREFIX.length);
      if (name === "study") await vault.saveStudy(vault.study, stepsMade);
      else if (marks[trial]) await vault.saveMarks(trial, marks[trial], stepsMade);
    }
    await removeTemporary(folder);
  } finally {
    await vault.close();
  }
}

function tell(findings: readonly Finding[], repaired: readonly Finding[], io: Io): void {
  for (const { where, text } of repaired) io.out(`repaired  ${where}: ${text}`);
  for (const { kind, where, text } of findings)
    io.out(`${(kind === "note" ? "note" : "problem").padEnd(10)}${where}: ${text}`);
  const problems = findings.filter((f) => f.kind !== "note");
  const open = problems.filter((f) => f.kind === "repairable").length;
  if (problems.length === 0) io.out(repaired.length > 0 ? "All is well now." : "All is well.");
  else
    io.out(
      `${problems.length === 1 ? "One problem" : `${problems.length} problems`}${open > 0 ? `; ${open === 1 ? "one" : open} of them can be put right with --repair` : ""}.`,
    );
}

function sameAs(a: Finding, b: Finding): boolean {
  return a.code === b.code && a.where === b.where;
}
