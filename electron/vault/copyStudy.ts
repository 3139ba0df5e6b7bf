import { createWriteStream } from "node:fs";
import { mkdir, readdir, rename, rm } from "node:fs/promises";
import { dirname, join, relative, resolve, sep } from "node:path";
import { pipeline } from "node:stream/promises";
import { MeasureError } from "../../src/errors.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { type Disk, DOCUMENT_BYTES, realDisk } from "../disk/disk.ts";
import { writeAtomically } from "./atomicWrite.ts";
import { documentText } from "./documentText.ts";

/** What belongs to one open folder and not to a copy of it. */
const NOT_COPIED = new Set(["cache", "study.lock", "study.lock.asked", "journal.jsonl"]);

/**
 * Copies a study, its clips included. Links to clips elsewhere are rewritten so that they lead to the same files. The
 * copy gets its name when it is whole.
 *
 * @throws {MeasureError} `folder-not-empty`, `inside-itself`, what parseStudy refuses
 */
export async function copyStudy(from: string, to: string): Promise<void> {
  const [original, copy] = [resolve(from), resolve(to)];
  if (`${copy}${sep}`.startsWith(`${original}${sep}`))
    throw new MeasureError(
      "inside-itself",
      `copyStudy got ${copy} inside ${original}`,
      "A study cannot be copied into its own folder. Choose another place.",
    );
  if ((await readdir(copy).catch(() => [])).length > 0)
    throw new MeasureError(
      "folder-not-empty",
      `copyStudy needs an empty folder; ${copy} is not`,
      `${copy} already holds something. Choose a new folder for the copy.`,
    );
  const disk = realDisk(original);
  const text = String(await disk.read(join(original, "study.json"), DOCUMENT_BYTES));
  const study = parseStudy(JSON.parse(text));
  // Finished under another name first, so that a copy that was interrupted is not taken for whole.
  const unfinished = `${copy}.new`;
  await rm(unfinished, { recursive: true, force: true });
  await mkdir(dirname(copy), { recursive: true });
  await copyFolder(disk, original, unfinished, (name) => !NOT_COPIED.has(name));
  const clips = study.clips.map((link) => {
    const target = resolve(original, link.path);
    if (target.startsWith(original + sep)) return link;
    return { ...link, path: relative(copy, target).split(sep).join("/") };
  });
  await writeAtomically(join(unfinished, "study.json"), documentText({ ...study, clips }));
  await rm(copy, { recursive: true, force: true });
  await rename(unfinished, copy);
}

/** Copies plain files and folders, and no links: the copy is as safe to open as the original. */
async function copyFolder(
  disk: Disk,
  from: string,
  to: string,
  wanted: (name: string) => boolean = () => true,
): Promise<void> {
  await mkdir(to);
  for (const name of (await disk.list(from)).filter(wanted)) {
    const [path, copy] = [join(from, name), join(to, name)];
    const found = await disk.look(path);
    if (found?.isDirectory()) await copyFolder(disk, path, copy);
    else if (found?.isFile())
      await pipeline(
        (await disk.open(path, "read")).createReadStream(),
        createWriteStream(copy, { flags: "wx" }),
      );
  }
}
