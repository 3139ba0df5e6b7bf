import { hostname } from "node:os";
import { basename, join, relative, resolve, sep } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { type Forgotten, forgetSkater } from "../../src/study/forgetSkater.ts";
import type { Skater } from "../../src/study/types.ts";
import { type Disk, realDisk } from "../disk/disk.ts";
import { writeAtomically } from "../vault/atomicWrite.ts";
import { documentText } from "../vault/documentText.ts";
import { journalFile } from "../vault/journalFile.ts";
import { lockFile, readLock, releaseLock, takeLock, thisOwner } from "../vault/lock.ts";
import { readStudy } from "../vault/openStudy.ts";
import { places } from "../vault/places.ts";
import { meansFile, readSharedMeans } from "../vault/sharedMeans.ts";
import { Vault } from "../vault/Vault.ts";

/** What forgetting takes out of a study, or has taken out. */
export interface ForgottenInStudy {
  readonly folder: string;
  readonly skater: Skater;
  readonly touched: readonly string[];
  /** What may still show them and is not touched. */
  readonly stays: readonly string[];
}

/**
 * What would be taken out of a study to forget a skater; nothing is changed.
 *
 * @param who a code, or the name of one without a code
 * @returns null where nobody is called so
 * @throws {MeasureError} see readStudy
 */
export async function wouldForget(folder: string, who: string): Promise<ForgottenInStudy | null> {
  const { whole } = await readStudy(folder, new Date());
  const found = forgetSkater(whole.study, who);
  return found && (await listed(folder, found, realDisk(folder)));
}

/**
 * Does it: the study is written last, so that what is interrupted is done by doing it again.
 *
 * `mustBeClosed` comes first.
 *
 * @throws {MeasureError} `study-open` where somebody has it open, `read-only`, see readStudy
 */
export async function forgetInStudy(folder: string, who: string): Promise<ForgottenInStudy | null> {
  // What the journal holds and the files do not comes into the files first.
  const vault = await Vault.open(folder);
  const { readOnly, notices } = vault.opened();
  await vault.close();
  if (readOnly) throw new MeasureError("read-only", `forget: ${folder}`, `${folder}: ${notices.join(" ")}`);
  const disk = realDisk(folder);
  const me = await thisOwner(new Date());
  if (await takeLock(folder, me, disk)) throw open(folder);
  try {
    const { whole } = await readStudy(folder, new Date());
    const found = forgetSkater(whole.study, who);
    if (!found) return null;
    const list = await listed(folder, found, disk);
    await remove(folder, found, disk);
    return list;
  } finally {
    await releaseLock(folder, me, disk);
  }
}

/** @throws {MeasureError} `study-open` */
export async function mustBeClosed(folder: string): Promise<void> {
  const disk = realDisk(folder);
  const owner = await readLock(folder, disk);
  // A lock of this very process would be taken for one that was left behind.
  if (owner && owner.pid === process.pid && owner.host === hostname()) throw open(folder);
  const me = await thisOwner(new Date());
  if (await takeLock(folder, me, disk)) throw open(folder);
  await releaseLock(folder, me, disk);
}

function open(folder: string): MeasureError {
  return new MeasureError(
    "study-open",
    `forget: ${folder} is open`,
    `${folder} is open, so nobody is forgotten in it, nor anywhere else. Open another study and forget from there; where another program has it open, end that first.`,
  );
}

/** Copies of documents as they were, what was worked out of them, and pictures. */
const COPIES: readonly (readonly [folder: string, what: string])[] = [
  ["last-good", "older copies of the study and its marks"],
  ["damaged", "damaged copies that were set aside"],
  ["conflicts", "copies that another program had changed"],
  ["cache", "prepared frames"],
  ["results", "results of steps"],
];

const KNOWN = new Set([
  ...COPIES.map(([name]) => name),
  ...["study.json", "marks", "clips", "means.json", "journal.jsonl", basename(lockFile("x"))],
]);

async function listed(
  folder: string,
  { skater, trials, marked, clips, setups, unlocked, mentions }: Forgotten,
  disk: Disk,
): Promise<ForgottenInStudy> {
  const there = new Set(await disk.list(folder));
  const files = new Set(await disk.list(join(folder, "marks")));
  const marks = marked.filter((id) => files.has(basename(places(folder).marks(id))));
  const own = clips.filter((c) => ownFile(folder, c.path));
  const lengths = Object.keys(skater.body).length;
  const timed = trials.filter((t) => t.time !== null).length;
  const count = (n: number, one: string, more = `${one}s`) =>
    n === 0 ? [] : [`${n} ${n === 1 ? one : more}`];
  return {
    folder,
    skater,
    touched: [
      `the skater${lengths > 0 ? " with the lengths of the body" : ""}`,
      ...(trials.length > 0 ? [`${count(trials.length, "trial")[0]}, ${timed} of them timed`] : []),
      ...count(marks.length, "file of marks", "files of marks"),
      ...count(own.length, "clip"),
      ...setups.map((name) => `their ice points in ${name}, by which other clips of it may have their scale`),
      ...(there.has("means.json") ? ["their means in means.json"] : []),
      ...(unlocked ? ["the lock of the plan, which named the skaters"] : []),
      ...(there.has("journal.jsonl") ? ["the journal, so nothing before this can be undone"] : []),
      ...COPIES.flatMap(([name, what]) => (there.has(name) ? [`${what} (${name})`] : [])),
    ],
    stays: [
      ...clips.filter((c) => !ownFile(folder, c.path)).map((c) => `the clip ${c.path}, which lies elsewhere`),
      ...mentions.map((where) => `the name, or a part of it, in ${where}`),
      ...[...there]
        .filter((name) => !KNOWN.has(name) && !name.startsWith("."))
        .map((name) => `${name}, which is not looked into`),
    ],
  };
}

/** Where a clip lies below the study's own clips; null elsewhere. */
function ownFile(folder: string, path: string): string | null {
  const file = resolve(folder, path);
  const way = relative(places(folder).clips, file);
  return way !== "" && !way.startsWith("..") && !way.startsWith(sep) && resolve(file) === file ? file : null;
}

async function remove(
  folder: string,
  { study, marked, clips, trials }: Forgotten,
  disk: Disk,
): Promise<void> {
  const at = places(folder);
  for (const [name] of COPIES)
    if (await disk.look(join(folder, name))) await disk.removeFolder(join(folder, name));
  const still = new Set(study.clips.map((c) => ownFile(folder, c.path)));
  const files = [
    journalFile(folder),
    ...marked.map(at.marks),
    ...clips.flatMap((c) => ownFile(folder, c.path) ?? []).filter((file) => !still.has(file)),
  ];
  for (const file of files) if (await disk.look(file)) await disk.remove(file);
  const means = await readSharedMeans(folder, disk);
  if (means) {
    const gone = new Set(trials.map((t) => t.id));
    const left = Object.fromEntries(Object.entries(means).filter(([id]) => !gone.has(id)));
    await writeAtomically(
      meansFile(folder),
      `${JSON.stringify({ format: "blademark.means", version: 1, trials: left }, null, 1)}\n`,
      disk,
    );
  }
  await writeAtomically(at.study, documentText(study), disk);
}
