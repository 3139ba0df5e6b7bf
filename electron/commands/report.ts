import { access, mkdir, readdir, writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { parseHTML } from "linkedom";
import { MeasureError } from "../../src/errors.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { type Report, reportHtml, reportPages, reportStills } from "../../src/report/page/reportPages.ts";
import type { StillPlan } from "../../src/report/still/planStill.ts";
import type { StillPicture } from "../../src/report/still/stillSvg.ts";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import type { Names } from "../../src/study/labels.ts";
import { trialInput } from "../../src/study/trialInput.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { exportStill } from "../clip/exportStills.ts";
import { type Ffmpeg, findFfmpeg } from "../clip/findFfmpeg.ts";
import { writeAtomically } from "../vault/atomicWrite.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";

/** Marks a folder as a report's, so that a later report may write into it. */
const OURS = ".blademark-report";

export const report: Command = {
  does: "the report of a study, its tables and its pictures, as files",
  help: `blademark report STUDY --out DIR [--codes] [--no-pictures]

Writes into DIR: report.html (one file, opens anywhere, prints as it is), tables/ (CSV with a data package),
figures/ (SVG). DIR must be new, empty, or an earlier report's.

  --out DIR      where to write
  --codes        skaters by their codes: no name is in any file
  --no-pictures  drawings without frames of the clips: much quicker, and nobody can be recognised`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      { out: { type: "string" }, codes: { type: "boolean" }, "no-pictures": { type: "boolean" } },
      [1, 1],
    );
    if (values.out === undefined) throw new UsageError("Where to? Give --out DIR.");
    const [study, out] = [resolve(positionals[0] as string), resolve(values.out)];
    const { whole, notices } = await readStudy(study, new Date());
    for (const notice of notices) io.say(notice);
    await claim(out);
    await writeReport(whole, study, out, {
      names: values.codes ? "codes" : "names",
      pictures: values["no-pictures"] !== true,
      io,
    });
    return 0;
  },
};

interface How {
  readonly names: Names;
  readonly pictures: boolean;
  readonly io: Io;
}

async function writeReport(whole: WholeStudy, study: string, out: string, how: How): Promise<void> {
  const { names, io } = how;
  const readingOf = measuredOnce(whole);
  whole.study.trials.forEach(({ id }, k) => {
    readingOf(id);
    if ((k + 1) % 20 === 0) io.say(`Measured ${k + 1} of ${whole.study.trials.length} trials`);
  });
  const pictures = how.pictures
    ? await picturesOf(whole, study, reportStills(whole, names, readingOf), io)
    : new Map<StillPlan["trial"], StillPicture>();
  const made = `Made on ${new Date().toLocaleDateString("en-GB", { dateStyle: "long" })}.`;
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const pages = reportPages(whole, {
    ...{ names, readingOf, document, made },
    pictureOf: (plan) => pictures.get(plan.trial) ?? null,
  });
  await writeFiles(out, pages, tableFiles(whole, names, readingOf));
  io.say(`The report is in ${join(out, "report.html")}`);
}

async function writeFiles(
  out: string,
  pages: Report,
  tables: readonly { readonly name: string; readonly content: string }[],
): Promise<void> {
  await Promise.all(["tables", "figures"].map((name) => mkdir(join(out, name), { recursive: true })));
  await Promise.all([
    writeAtomically(join(out, "report.html"), reportHtml(pages)),
    ...tables.map(({ name, content }) => writeAtomically(join(out, "tables", name), content)),
    ...pages.figures.map(({ name, svg }) => writeAtomically(join(out, "figures", `${name}.svg`), svg)),
  ]);
}

/** Frames for the stills, by trial, as data in the page. */
async function picturesOf(
  { study }: WholeStudy,
  folder: string,
  stills: readonly StillPlan[],
  io: Io,
): Promise<Map<string, StillPicture>> {
  const found = new Map<string, StillPicture>();
  let ffmpeg: Ffmpeg | null = null;
  for (const [k, plan] of stills.entries()) {
    const link = study.clips.find((c) => c.id === plan.clip);
    const file = link && resolve(folder, link.path);
    const there =
      file !== undefined &&
      (await access(file).then(
        () => true,
        () => false,
      ));
    if (!there || !link) {
      io.say(`No clip for the still of ${plan.trial}; it is drawn without a picture.`);
      continue;
    }
    ffmpeg ??= await findFfmpeg();
    const jpeg = await exportStill(ffmpeg, file, plan.frame, plan.box);
    if (jpeg) {
      found.set(plan.trial, {
        href: `data:image/jpeg;base64,${jpeg.toString("base64")}`,
        at: plan.box,
      });
    } else io.say(`Frame ${plan.frame} of ${link.name} can't be had; it is drawn without a picture.`);
    io.say(`Still ${k + 1} of ${stills.length}`);
  }
  return found;
}

/** Takes the folder for this report, or says why not. Nothing in it is touched before this. @throws {MeasureError} */
async function claim(out: string): Promise<void> {
  try {
    await mkdir(out, { recursive: true });
    const names = await readdir(out);
    if (names.length > 0 && !names.includes(OURS)) {
      throw new MeasureError(
        "foreign-folder",
        `report found ${names.length} files in ${out} that are not a report's`,
        `${out} holds something else already. Choose a new or an empty folder; nothing was written.`,
      );
    }
    await writeFile(join(out, OURS), "A report by Blademark. A later report may overwrite what is here.\n");
  } catch (error) {
    if (error instanceof MeasureError) throw error;
    const { code } = error as NodeJS.ErrnoException;
    throw new MeasureError(
      "not-written",
      `cannot write to ${out}: ${code}`,
      `${out} cannot be written (${code}). Choose another folder.`,
    );
  }
}

function measuredOnce(whole: WholeStudy): ReadingOf {
  const known = new Map<string, ReturnType<ReadingOf>>();
  const measured = (trial: string): ReturnType<ReadingOf> => {
    try {
      return { ok: true, value: measureTrial(trialInput(whole, trial)) };
    } catch (error) {
      if (error instanceof MeasureError) return { ok: false, error };
      throw error;
    }
  };
  return (trial) => {
    const reading = known.get(trial) ?? measured(trial);
    known.set(trial, reading);
    return reading;
  };
}
