import { join, resolve } from "node:path";
import { sharedStudy, withSharedTimes } from "../../src/report/sharedStudy.ts";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { realDisk } from "../disk/disk.ts";
import { createStudy } from "../vault/createStudy.ts";
import { readStudy } from "../vault/openStudy.ts";
import { meansFile } from "../vault/sharedMeans.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";

export const share: Command = {
  does: "a study to give away: codes, times, means and tables; no names, clips or marks",
  help: `blademark share STUDY --out FOLDER

Writes into FOLDER (new or empty) a study in which skaters have codes only: times, the means of what was measured, and
tables/ without names. No clip, mark, note or body length of a skater is in it. It opens like any study and pools with others
(pool --codes: the same code is the same skater). Keep the list of codes and names to yourself. Read it through before you
send it: a name that is not in the list of skaters, such as a club's in a question, is not known to be one.`,
  async run(args, io) {
    const { values, positionals } = readArgs(args, { out: { type: "string" } }, [1, 1]);
    if (values.out === undefined) throw new UsageError("Where to? Give --out FOLDER.");
    const [folder, out] = [resolve(positionals[0] as string), resolve(values.out)];
    const { whole, notices } = await readStudy(folder, new Date());
    for (const notice of notices) io.say(notice);
    const readingOf = measuredOnce(whole);
    const { study, means } = sharedStudy(whole, readingOf);
    await createStudy(out, study);
    const disk = realDisk(out);
    await disk.replace(meansFile(out), `${JSON.stringify(means, null, 1)}\n`);
    await disk.makeFolder(join(out, "tables"));
    // Of the shared study, not of the whole one: its tables can hold no more than it does.
    const timed = withSharedTimes(study, means.trials);
    for (const { name, content } of tableFiles(
      { study: timed, marks: {} },
      "codes",
      measuredOnce({ study, marks: {} }),
    ))
      await disk.replace(join(out, "tables", name), content);
    io.out(
      `${out}: ${study.trials.length} trials, ${Object.keys(means.trials).length} of them measured, no names.`,
    );
    return 0;
  },
};
