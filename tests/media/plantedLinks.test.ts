/**
 * A study that somebody else packed may have anything in the place of any file. Which paths there are is not listed here:
 * a traced evening with a study tells them, and in the place of each of them, one at a time, a link, a pipe, a folder or
 * a device is put. Whatever the program then does, nothing outside the study is read or written, and it comes to an end.
 */
import { execFileSync } from "node:child_process";
import {
  cpSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { basename, dirname, join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { type DiskOf, realDisk } from "../../electron/disk/disk.ts";
import { createHost } from "../../electron/host/createHost.ts";
import { TEMPORARY } from "../../electron/vault/atomicWrite.ts";
import { checkStudy } from "../../electron/vault/checkStudy.ts";
import { ALL } from "../faults/table.ts";
import { markStep } from "../helpers/markStep.ts";
import { H264, paintedClip } from "../helpers/paintedClip.ts";
import { MARKS, STUDY, sharedFolder } from "../helpers/studyFolder.ts";
import { ORIGIN } from "../helpers/testHost.ts";
import { tracedDisk } from "../helpers/tracedDisk.ts";

const SECRET = "the content of a file that is no study's";
const LONG_AGO = new Date("2001-02-03T04:05:06Z");

const folder = sharedFolder();
let clip = "";
const touched = new Set<string>();
/** Those of them that were touched while a clip was added, prepared and shown. */
const touchedForPictures = new Set<string>();

beforeAll(async () => {
  clip = await paintedClip({
    ...{ file: join(folder, "lap.mp4"), frames: 6, width: 96, height: 64, fps: 30, args: [...H264] },
  });
  await evening(study(), true, (picturing) =>
    tracedDisk({
      add(path) {
        touched.add(path);
        if (picturing()) touchedForPictures.add(path);
      },
    }),
  );
});

/** A study as it was packed after an evening, its clip in it. */
function study(): string {
  const made = mkdtempSync(join(folder, "one-"));
  mkdirSync(join(made, "marks"));
  mkdirSync(join(made, "clips"));
  cpSync(clip, join(made, "clips", "lap.mp4"));
  const clips = [{ id: "c", name: "lap.mp4", path: "clips/lap.mp4", bytes: statSync(clip).size }];
  writeFileSync(join(made, "study.json"), JSON.stringify({ ...STUDY, clips }));
  writeFileSync(join(made, "marks", "t1.json"), JSON.stringify(MARKS));
  return made;
}

/**
 * Opens, marks, saves, checks, closes; with pictures also adds and prepares clips and shows frames. Says everything that
 * was answered.
 */
async function evening(
  at: string,
  pictures: boolean,
  diskWhile: (picturing: () => boolean) => DiskOf = () => realDisk,
): Promise<string> {
  let picturing = false;
  let said = "";
  const say = (text: unknown) => {
    said += `${text instanceof Error ? `${text.message} ${(text as { coach?: string }).coach}` : text}\n`;
  };
  await checkStudy(at, new Date(), true).then((found) => say(JSON.stringify(found)), say);
  const windowDir = mkdtempSync(join(folder, "one-"));
  const host = await createHost({
    ...{ study: at, windowDir, origins: () => new Set([ORIGIN]), disk: diskWhile(() => picturing) },
  }).catch(say);
  if (!host) return said;
  const ask = async (method: string, path: string, body?: unknown) => {
    const type = body instanceof Uint8Array ? "video/mp4" : "application/json";
    const content = body instanceof Uint8Array || body === undefined ? body : JSON.stringify(body);
    const answer = await host.handle(
      new Request(`${ORIGIN}/api/${path}`, {
        ...{ method, headers: { "content-type": type } },
        ...(content === undefined ? {} : { body: content as BodyInit }),
      }),
    );
    const text = Buffer.from(await answer.arrayBuffer()).toString("latin1");
    say(`${method} ${path} ${answer.status} ${text}`);
    expect(answer.status, `${method} ${path}: ${text.slice(0, 300)}`).not.toBe(500);
    return { status: answer.status, text };
  };
  try {
    const { marks, ...opened } = host.vault.opened();
    const whole = { study: opened.study, marks };
    await ask("GET", "study");
    const { step, next } = markStep(whole, "t1", 101);
    await ask("POST", "steps", { from: opened.stepsMade, steps: [step] });
    await ask("PUT", "marks/t1", next.marks.t1);
    await ask("PUT", "study", { ...next.study, question: "asked anew" });
    await ask("PUT", "position", { place: "measure", trial: "t1", frame: 3 });
    await host.vault.standing().then(say, say);
    await host.vault.takeOver().catch(say);
    if (!pictures) return said;
    picturing = true;
    await ask("POST", "clips?name=second.mp4", readFileSync(clip));
    for (let n = 0; n < 4000; n++) {
      const { text } = await ask("GET", "clips/c/index");
      if (!/"state":"(waiting|preparing)"/.test(text)) break;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    for (const n of [0, 5]) await ask("GET", `clips/c/frames/${n}`);
    await ask("POST", "clips/c/look");
    await ask("DELETE", "clips/c/prepare");
  } finally {
    await host.close();
  }
  return said;
}

/** What lies outside: as like what the program looks for as can be, so that it would be taken and shown. */
function outside(path: string) {
  const outer = mkdtempSync(join(folder, "one-"));
  const elsewhere = join(outer, "elsewhere");
  const like = new Map([
    ["study.json", JSON.stringify({ ...STUDY, question: SECRET, clips: [] })],
    ["t1.json", JSON.stringify({ ...MARKS, remark: SECRET })],
    ["journal.jsonl", `${SECRET}\n`],
  ]);
  const of = (name: string) => like.get(name) ?? SECRET;
  mkdirSync(elsewhere);
  writeFileSync(join(outer, "file"), of(basename(path)));
  for (const there of [...touched].filter((t) => t.startsWith(`${path}/`) && !isTemporary(t))) {
    const to = join(elsewhere, there.slice(path.length + 1));
    mkdirSync(dirname(to), { recursive: true });
    if (/\.\w+$/.test(there))
      writeFileSync(to, there.endsWith(".mp4") ? readFileSync(clip) : of(basename(to)));
    else mkdirSync(to, { recursive: true });
  }
  const all = () =>
    [
      "file",
      ...(readdirSync(elsewhere, { recursive: true }) as string[]).map((n) => join("elsewhere", n)),
    ].sort();
  for (const name of all()) utimesSync(join(outer, name), LONG_AGO, LONG_AGO);
  const state = () =>
    all().map((name) => {
      const found = lstatSync(join(outer, name));
      // A file system that keeps no times of reading keeps the one that was set here.
      const content = found.isFile() ? [found.size, found.atimeMs] : [];
      return [name, found.mode, found.nlink, found.mtimeMs, ...content];
    });
  const before = state();
  return { outer, file: join(outer, "file"), elsewhere, untouched: () => expect(state()).toEqual(before) };
}

/** Whether a plant there can be met by what is done with clips: ffmpeg runs only where it can. */
const isForPictures = (path: string) =>
  /^(cache|clips)(\/|$)/.test(path) ||
  [...touchedForPictures].some((t) => t === path || t.startsWith(`${path}/`));

const isTemporary = (path: string) => TEMPORARY.test(basename(path));

function isRoot(): boolean {
  return process.getuid?.() === 0;
}

const PLANTS = {
  "a link to a file": (path: string, { file }: ReturnType<typeof outside>) => symlinkSync(file, path),
  "a link to a folder": (path: string, { elsewhere }: ReturnType<typeof outside>) =>
    symlinkSync(elsewhere, path),
  "a link to nothing": (path: string, { outer }: ReturnType<typeof outside>) =>
    symlinkSync(join(outer, "made"), path),
  "a pipe": (path: string) => execFileSync("mkfifo", [path]),
  // Only the system's own user may make one.
  "a device": (path: string) =>
    isRoot() ? execFileSync("mknod", [path, "c", "1", "5"]) : symlinkSync("/dev/zero", path),
  "a folder": (path: string) => mkdirSync(path),
} as const;

describe("in the place of each path that is ever touched", () => {
  it("knows them from a traced evening", () => {
    const known = [...touched].filter((path) => !isTemporary(path));
    for (const path of ["study.json", "marks/t1.json", "journal.jsonl", "study.lock", "study.lock.asked"])
      expect(known).toContain(path);
    for (const path of ["last-good/study.json", "last-good/marks/t1.json", "cache", "cache/clips.json"])
      expect(known).toContain(path);
    expect(known.filter((path) => path.endsWith("/frames.jpegs")).length).toBeGreaterThan(0);
    expect(known.length).toBeGreaterThan(25);
  });

  it.each(Object.entries(PLANTS).map(([name, plant], which) => ({ name, plant, which })))(
    "$name leads nowhere",
    async ({ plant, which }) => {
      const all = [...touched, "clips/lap.mp4", "last-good/older", "damaged", "conflicts"]
        .flatMap((path) => [path, dirname(path)])
        .filter((path) => path !== "" && path !== "." && !isTemporary(path));
      const paths = [...new Set(all)];
      const left = [...paths.entries()];
      const one = async (at: number, path: string) => {
        const [made, other] = [study(), outside(path)];
        const planted = join(made, path);
        mkdirSync(dirname(planted), { recursive: true });
        rmSync(planted, { recursive: true, force: true });
        plant(planted, other);
        // Preparing takes ffmpeg, most of the time of this file: each path with one kind in its place, in turn.
        const pictures = isForPictures(path) && (ALL || at % Object.keys(PLANTS).length === which);
        const said = await evening(made, pictures);
        expect(said, path).not.toContain(SECRET);
        for (const name of readdirSync(made, { recursive: true, withFileTypes: true }))
          if (name.isFile())
            expect(
              readFileSync(join(name.parentPath, name.name), "latin1"),
              `${path}: ${name.name}`,
            ).not.toContain(SECRET);
        other.untouched();
        expect(readdirSync(other.outer).sort(), path).toEqual(["elsewhere", "file"]);
      };
      // Most of an evening is waiting.
      await Promise.all(
        Array.from({ length: 8 }, async () => {
          for (let next = left.pop(); next; next = left.pop()) await one(...next);
        }),
      );
    },
  );
});
