import { resolve } from "node:path";
import { readMoment, writeMoment } from "../../src/report/film/moment.ts";
import type { FilmWish } from "../../src/report/film/subjects.ts";
import { tenths, withFilmTools } from "../film/filmTools.ts";
import { writeFilm } from "../film/writeFilm.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, UsageError } from "./Command.ts";
import { numberOption, readArgs } from "./options.ts";
import { checkNotAClip, checkOutFile } from "./outFile.ts";

export const clip: Command = {
  does: "one trial, or two side by side, as a video with what was measured drawn on the ice",
  help: `blademark clip STUDY TRIAL [TRIAL] --out FILE.mp4 [--at EVENT] [--slow N] [--from S] [--to S] [--codes]

Two trials are lined up on the same event and shown at the same scale on the ice. Plays on any phone.

  --out FILE.mp4  where to write; a file of that name is replaced, but never a clip of the study
  --at EVENT      what to line up on: start (the first gate's picked frame); an event, a side and its number among
                  those marked, as in blade_off:left:3; or the blade-off of a stride by the stride's number in Measure,
                  as in stride:5; without it a blade-off in the middle of those that all have
  --slow N        so many times slower than life (4)
  --from S --to S real seconds about the event, as in --from -0.5 --to 1.5; without them all that is marked
  --codes         skaters by their codes`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      {
        out: { type: "string" },
        at: { type: "string" },
        slow: { type: "string" },
        from: { type: "string" },
        to: { type: "string" },
        codes: { type: "boolean" },
      },
      [2, 3],
    );
    if (values.out === undefined) throw new UsageError("Where to? Give --out FILE.mp4.");
    if (!/\.mp4$/i.test(values.out)) throw new UsageError("--out needs a name that ends in .mp4.");
    const moment = values.at === undefined ? null : readMoment(values.at);
    if (values.at !== undefined && !moment)
      throw new UsageError(
        `--at needs "start", an event, a side and a number as in blade_off:left:3, or a stride as in stride:5; not "${values.at}".`,
      );
    const seconds = (name: "from" | "to") =>
      values[name] === undefined ? undefined : numberOption(`--${name}`, values[name], -3600, 3600);
    const [from, to] = [seconds("from"), seconds("to")];
    if (from !== undefined && to !== undefined && from >= to)
      throw new UsageError(`--from must be before --to; ${from} is not before ${to}.`);
    const [folder = "", ...trials] = positionals;
    if (trials[0] === trials[1])
      throw new UsageError(`${trials[0]} stands there twice. Give two trials, or one alone.`);
    const wish: FilmWish = {
      trials,
      moment,
      slow: values.slow === undefined ? 4 : numberOption("--slow", values.slow, 0.1, 100),
      from,
      to,
      names: values.codes ? "codes" : "names",
    };
    const out = resolve(values.out);
    const study = resolve(folder);
    await checkOutFile(out);
    const { whole, notices } = await readStudy(study, new Date());
    for (const notice of notices) io.say(notice);
    await checkNotAClip(out, whole.study, study);
    const plan = await withFilmTools(whole.study, study, (tools, signal) =>
      writeFilm(whole, wish, out, tools, { onProgress: tenths(io.say), signal }),
    );
    const held = plan.zero >= 0 && plan.zero < plan.count;
    const shown = held
      ? `, which is shown ${(plan.zero / plan.rate).toFixed(2)} s after the beginning`
      : ", which is not in it";
    io.say(
      `${(plan.count / plan.rate).toFixed(1)} s, lined up on ${plan.name} (--at ${writeMoment(plan.moment)})${shown}. The clip is in ${out}`,
    );
    return 0;
  },
};
