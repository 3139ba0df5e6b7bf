import { randomBytes } from "node:crypto";
import { rename, rm, writeFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { planFrame } from "../../src/report/still/planStill.ts";
import { frameCaption, stillLabel, stillSvg } from "../../src/report/still/stillSvg.ts";
import { type Names, trialLabel } from "../../src/study/labels.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { stillFrame } from "../clip/ffmpeg/stillFrame.ts";
import { Shares } from "../clip/link/networkShare.ts";
import { mustBeOwnClip } from "../disk/ownClip.ts";
import { svgPng } from "../film/svgPng.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { clipFile } from "./clipFile.ts";
import { readArgs, wholeOption } from "./options.ts";
import { checkOutFile } from "./outFile.ts";

export const still: Command = {
  does: "exactly one frame: of a clip as PNG, or of a trial with its marks, ice grid and measures as PNG or SVG",
  help: `blademark still CLIP --frame N --out F.png
blademark still STUDY TRIAL N --out F.svg|F.png [--codes]

Writes exactly frame N (the first is 0) as displayed: rotation applied, square pixels.
Of a trial, with its marks, the metre grid of the ice in perspective, and what is measured in this frame drawn to
scale with its value: stride width at blade-off, touchdown at blade-on, recovery where the blade is nearest.

  --out FILE  where to; the ending says which kind; a file of that name is replaced
  --codes     the skater by code in the caption`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      { frame: { type: "string" }, out: { type: "string" }, codes: { type: "boolean" } },
      [1, 3],
    );
    const [from, trial, frame] = positionals;
    if (trial !== undefined && values.frame === undefined && frame === undefined)
      throw new UsageError("Which frame? Give STUDY TRIAL N (the first frame is 0).");
    const asked = frame ?? values.frame;
    if (asked === undefined) throw new UsageError("Which frame? Give --frame N (the first is 0).");
    if (values.out === undefined) throw new UsageError("Where to? Give --out FILE.png.");
    const n = wholeOption("--frame", asked, 0, 1e9);
    const out = resolve(values.out);
    const kind = /\.(png|svg)$/i.exec(out)?.[1]?.toLowerCase();
    if (kind) await checkOutFile(out);
    if (trial === undefined) {
      if (kind !== "png") throw new UsageError("--out needs a name that ends in .png.");
      const file = await clipFile(from as string);
      await writeWhole(out, await stillFrame(await findFfmpeg(), file, n));
    } else {
      if (!kind) throw new UsageError("--out needs a name that ends in .png or .svg.");
      const { svg, widthPx } = await trialStill(
        resolve(from as string),
        trial,
        n,
        values.codes ? "codes" : "names",
        io,
      );
      await writeWhole(out, kind === "svg" ? Buffer.from(svg) : await svgPng(svg, widthPx));
    }
    io.say(`Frame ${n} is in ${out}`);
    return 0;
  },
};

/** A frame of a study's trial as a drawing over its picture. @throws {MeasureError} */
async function trialStill(
  folder: string,
  trial: string,
  frame: number,
  names: Names,
  io: Io,
): Promise<{ svg: string; widthPx: number }> {
  const { whole, notices } = await readStudy(folder, new Date());
  for (const notice of notices) io.say(notice);
  const reading = countedReadings(whole, measuredOnce(whole))(trial);
  // What is wrong with the trial's name is said as when it is measured; all else leaves a frame without numbers.
  if (!reading.ok && reading.error.code === "unknown-trial") throw reading.error;
  const clip = whole.study.trials.find((t) => t.id === trial)?.clip;
  const link = whole.study.clips.find((c) => c.id === clip);
  if (!link) {
    throw new MeasureError(
      "no-clip",
      `still needs a trial with a clip; ${trial} has none`,
      "No clip is linked to this trial, so it has no frames. Add its clip in Times.",
      { trial },
    );
  }
  const file = resolve(folder, link.path);
  new Shares().mustBeAgreed(file, resolve(folder));
  await mustBeOwnClip(resolve(folder), file);
  const png = untagged(await stillFrame(await findFfmpeg(), file, frame, link.turn));
  const plan = planFrame(whole, trial, reading.ok ? reading.value : null, frame, sizeOf(png))!;
  const who = trialLabel(whole.study, trial, names);
  if (!reading.ok) io.say(bareWords(reading.error, who));
  const picture = {
    href: `data:image/png;base64,${png.toString("base64")}`,
    at: plan.box,
  };
  const { text } = stillSvg(plan, picture, stillLabel(plan, who), frameCaption(plan, who));
  return { svg: text, widthPx: plan.picture.width };
}

/** Why a frame has no numbers on it. */
function bareWords({ code, coach }: MeasureError, who: string): string {
  return code === "no-picture"
    ? `Drawn without marks and numbers, because nothing is marked on the clip of ${who} yet.`
    : `Drawn without numbers. ${coach}`;
}

/** Chunks that tell viewers to shift colours: the drawing's own are not tagged, and the frame is to stay as it is. */
const COLOUR_CHUNKS: ReadonlySet<string> = new Set(["gAMA", "cHRM", "cICP", "iCCP", "sRGB"]);

/** A PNG without what it says of colours; chunks are length, name, content, check (PNG, third edition, 5.3). */
function untagged(png: Buffer): Buffer {
  const kept = [png.subarray(0, 8)];
  for (let at = 8; at < png.length; ) {
    const end = at + 12 + png.readUInt32BE(at);
    if (!COLOUR_CHUNKS.has(png.toString("latin1", at + 4, at + 8))) kept.push(png.subarray(at, end));
    at = end;
  }
  return Buffer.concat(kept);
}

/** Width and height of a PNG: the first fields of its first chunk. */
function sizeOf(png: Buffer): { width: number; height: number } {
  return { width: png.readUInt32BE(16), height: png.readUInt32BE(20) };
}

/** Half a picture is never left behind. */
async function writeWhole(path: string, content: Uint8Array): Promise<void> {
  const temporary = join(dirname(path), `.${randomBytes(6).toString("hex")}.tmp`);
  try {
    await writeFile(temporary, content);
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw new MeasureError(
      "not-written",
      `cannot write ${path}: ${(error as Error).message}`,
      `${path} can't be written. Check that its folder is there, may be written to, and has room.`,
    );
  }
}
