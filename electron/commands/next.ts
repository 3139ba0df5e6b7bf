import { resolve } from "node:path";
import { nextEvening } from "../../src/trials/nextEvening.ts";
import { createStudy } from "../vault/createStudy.ts";
import { readStudy } from "../vault/openStudy.ts";
import type { Command } from "./Command.ts";
import { readArgs } from "./options.ts";

export const next: Command = {
  does: "a new study for the next evening of this one: same skaters and techniques, fresh run order",
  help: `blademark next STUDY FOLDER

Makes a study in FOLDER (new or empty) with the question, skaters and their bodies, techniques and their bands, lane, camera
placement and what is worth having of STUDY, and a fresh run order. Times, clips, marks and a locked plan stay where they are.`,
  async run(args, io) {
    const { positionals } = readArgs(args, {}, [2, 2]);
    const [from = "", to = ""] = positionals.map((p) => resolve(p));
    const { whole, notices } = await readStudy(from, new Date());
    for (const notice of notices) io.say(notice);
    const study = nextEvening(whole.study);
    await createStudy(to, study);
    io.out(`${to}: ${study.trials.length} trials of ${study.skaters.length} skaters in a fresh order.`);
    return 0;
  },
};
