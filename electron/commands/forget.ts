import { resolve } from "node:path";
import { forget as forgetEverywhere } from "../library/forget.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";

const MANY = 1000;

export const forget: Command = {
  does: "a skater taken out of the library and out of studies, with what it touches listed first",
  help: `blademark forget CODE [STUDY ...] [--yes]

Takes the skater of that code (or of that name, where she has no code) out of the library and of the studies named, with
trials, marks, clips below the study, prepared frames, older copies and the journal. It cannot be undone; what was compared is
compared without her from then on. To keep numbers without a name, make a study to give away first: blademark share.

Without --yes nothing is changed: it says what would go and what would stay (clips that lie elsewhere, names in typed text, files
that are not Blademark's). A study that is open is refused.

  --yes  do it`,
  async run(args, io) {
    const { values, positionals } = readArgs(args, { yes: { type: "boolean" } }, [1, MANY]);
    const [who = "", ...given] = positionals;
    const folders = given.map((p) => resolve(p));
    if (new Set(folders).size < folders.length) throw new UsageError("One study stands there twice.");
    const really = values.yes === true;
    for (const line of await forgetEverywhere(who, folders, really)) io.out(line);
    io.say(really ? "Done." : "Nothing is changed yet. With --yes it is done, and cannot be undone.");
    return 0;
  },
};
