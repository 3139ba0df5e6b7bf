import { access, mkdir, readdir, rm } from "node:fs/promises";
import { join, resolve } from "node:path";
import { parseHTML } from "linkedom";
import { MeasureError } from "../../src/errors.ts";
import { type Report, reportHtml, reportPages, reportStills } from "../../src/report/page/reportPages.ts";
import type { Box, StillPlan } from "../../src/report/still/planStill.ts";
import { type StillPicture, stillKey } from "../../src/report/still/stillSvg.ts";
import { trialKeys } from "../../src/report/tables/keys.ts";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { trialC3d } from "../../src/report/trialC3d.ts";
import { type Names, trialLabel } from "../../src/study/labels.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { exportStills } from "../clip/ffmpeg/exportStills.ts";
import { type Ffmpeg, findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { onShare, Shares } from "../clip/link/networkShare.ts";
import { realDisk } from "../disk/disk.ts";
import { mustBeOwnClip } from "../disk/ownClip.ts";
import { writePairFilms } from "../film/pairFilms.ts";
import { svgPng } from "../film/svgPng.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";

/** Marks a folder as a report's, so that a later report may write into it. */
const OURS = ".blademark-report";

export const report: Command = {
  does: "the report of a study, its tables and its pictures, as files",
  help: `blademark report STUDY --out DIR [--codes] [--no-pictures] [--png] [--clips]

Writes into DIR: report.html (one file, opens anywhere, prints as it is), tables/ (CSV with a data package),
figures/ (SVG), c3d/ (points of blades, hips and arms in space, one file a trial). DIR must be new, empty, or an earlier report's.

  --out DIR      where to write
  --codes        skaters by their codes: no name is in any file
  --no-pictures  drawings without frames of the clips: much quicker, and nobody can be recognised
  --png          figures as PNG beside the SVG
  --clips        clips/ too: each skater's two techniques side by side, as videos (about a minute a skater)`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      {
        out: { type: "string" },
        codes: { type: "boolean" },
        "no-pictures": { type: "boolean" },
        png: { type: "boolean" },
        clips: { type: "boolean" },
      },
      [1, 1],
    );
    if (values.out === undefined) throw new UsageError("Where to? Give --out DIR.");
    if (values.clips && values["no-pictures"])
      throw new UsageError("Clips are made of pictures: leave out --clips or --no-pictures.");
    const [study, out] = [resolve(positionals[0] as string), resolve(values.out)];
    const { whole, notices } = await readStudy(study, new Date());
    for (const notice of notices) io.say(notice);
    await claim(out);
    await writeReport(whole, study, out, {
      names: values.codes ? "codes" : "names",
      pictures: values["no-pictures"] !== true,
      png: values.png === true,
      io,
    });
    const clips = join(out, "clips");
    if (values.clips) await writePairFilms(whole, study, clips, values.codes ? "codes" : "names", io.say);
    else await rm(clips, { recursive: true, force: true });
    return 0;
  },
};

/** Over the width of a page 200 dots an inch. */
const PNG_WIDTH = 1400;
const FOLDERS = ["tables", "figures", "c3d"] as const;

interface How {
  readonly names: Names;
  readonly pictures: boolean;
  readonly png: boolean;
  readonly io: Io;
}

async function writeReport(whole: WholeStudy, study: string, out: string, how: How): Promise<void> {
  const { names, io } = how;
  const readingOf = measuredOnce(whole);
  const { trials } = whole.study;
  const measured = trials.filter(({ id }, k) => {
    const { ok } = readingOf(id);
    if ((k + 1) % 20 === 0 && k + 1 < trials.length) io.say(`Looked at ${k + 1} of ${trials.length} trials`);
    return ok;
  }).length;
  const others = measured < trials.length ? "; the report says why the others could not be" : "";
  io.say(`Measured ${measured} of ${trials.length} trials${others}`);
  const pictures = how.pictures
    ? await picturesOf(whole, study, reportStills(whole, names, readingOf), how)
    : new Map<string, StillPicture>();
  const made = `Made on ${new Date().toLocaleDateString("en-GB", { dateStyle: "long" })}.`;
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const pages = reportPages(whole, {
    names,
    readingOf,
    document,
    made,
    pictureOf: (plan) => pictures.get(stillKey(plan)) ?? null,
  });
  try {
    await writeFiles(
      out,
      pages,
      tableFiles(whole, names, readingOf),
      pointFiles(whole, names, readingOf),
      how.png,
    );
  } catch (error) {
    throw notWritten(out, error);
  }
  io.say(`The report is in ${join(out, "report.html")}`);
}

async function writeFiles(
  out: string,
  pages: Report,
  tables: readonly { readonly name: string; readonly content: string }[],
  points: readonly { readonly name: string; readonly bytes: Uint8Array }[],
  png: boolean,
): Promise<void> {
  // The folder may be one that came with a study: no link in it is followed.
  const disk = realDisk(out);
  // What an earlier report wrote and this one does not would pass for a part of this one.
  for (const name of FOLDERS) await rm(join(out, name), { recursive: true, force: true });
  await Promise.all(FOLDERS.map((name) => disk.makeFolder(join(out, name))));
  await Promise.all([
    disk.replace(join(out, "report.html"), reportHtml(pages)),
    ...tables.map(({ name, content }) => disk.replace(join(out, "tables", name), content)),
    ...points.map(({ name, bytes }) => disk.replace(join(out, "c3d", name), bytes)),
    ...pages.figures.map(({ name, svg }) => disk.replace(join(out, "figures", `${name}.svg`), svg)),
  ]);
  if (!png) return;
  for (const { name, svg } of pages.figures)
    await disk.replace(join(out, "figures", `${name}.png`), await svgPng(svg, PNG_WIDTH));
}

function pointFiles(
  whole: WholeStudy,
  names: Names,
  readingOf: ReadingOf,
): { name: string; bytes: Uint8Array }[] {
  const keys = trialKeys(whole.study, names);
  return whole.study.trials.flatMap((trial) => {
    const [marks, reading] = [whole.marks[trial.id], readingOf(trial.id)];
    const bytes = marks && reading.ok ? trialC3d(trial, marks, reading.value) : null;
    return bytes ? [{ name: `${keys.get(trial.id) ?? trial.id}.c3d`, bytes }] : [];
  });
}

/** Frames for the stills, by still, as data in the page. */
async function picturesOf(
  { study }: WholeStudy,
  folder: string,
  stills: readonly StillPlan[],
  { names, io }: How,
): Promise<Map<string, StillPicture>> {
  const found = new Map<string, StillPicture>();
  const clips = [...new Set(stills.map((s) => s.clip))];
  let ffmpeg: Ffmpeg | null = null;
  const shares = new Shares();
  for (const [k, clip] of clips.entries()) {
    const plans = stills.filter((s) => s.clip === clip);
    const link = study.clips.find((c) => c.id === clip);
    const file = link && resolve(folder, link.path);
    const share = file ? shares.unasked(file, resolve(folder)) : null;
    if (file && share !== null) {
      io.say(onShare(file, share).coach);
      continue;
    }
    if (!link || !file || !(await isThere(file))) {
      const of = trialLabel(study, plans[0]!.trial, names);
      const why =
        clip === null
          ? "no clip is linked to it. Add its clip in Times"
          : `there is no file ${file ?? clip}. Put the clip there, or open the study in the window and say in Times where it is`;
      io.say(`The stills of ${of} are drawn without a picture: ${why}; then make the report again.`);
      continue;
    }
    try {
      await mustBeOwnClip(resolve(folder), file);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      io.say(error.coach);
      continue;
    }
    ffmpeg ??= await findFfmpeg();
    const at = around(plans.map((p) => p.box));
    const frames = plans.map((p) => p.frame);
    const pictures = await exportStills(ffmpeg, file, frames, at, link.turn);
    for (const plan of plans) {
      const jpeg = pictures.get(plan.frame);
      if (jpeg) {
        const href = `data:image/jpeg;base64,${jpeg.toString("base64")}`;
        found.set(stillKey(plan), { href, at });
      } else io.say(`Frame ${plan.frame} of ${link.name} can't be read; it is drawn without a picture.`);
    }
    io.say(`Stills of clip ${k + 1} of ${clips.length}`);
  }
  return found;
}

function isThere(file: string): Promise<boolean> {
  return access(file).then(
    () => true,
    () => false,
  );
}

/** The smallest box that holds them all. */
function around(boxes: readonly Box[]): Box {
  const [x, y] = [Math.min(...boxes.map((b) => b.x)), Math.min(...boxes.map((b) => b.y))];
  const [right, bottom] = [
    Math.max(...boxes.map((b) => b.x + b.width)),
    Math.max(...boxes.map((b) => b.y + b.height)),
  ];
  return { x, y, width: right - x, height: bottom - y };
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
    await realDisk(out).replace(
      join(out, OURS),
      "A report by Blademark. A later report may overwrite what is here.\n",
    );
  } catch (error) {
    throw notWritten(out, error);
  }
}

function notWritten(out: string, error: unknown): Error {
  const { code } = error as NodeJS.ErrnoException;
  if (error instanceof MeasureError || code === undefined) return error as Error;
  return new MeasureError(
    "not-written",
    `cannot write to ${out}: ${code}`,
    `${out} cannot be written (${code}). Choose another folder.`,
  );
}
