import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { createHost, type Host } from "../../electron/host/createHost.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { clipKinds } from "../helpers/clipKinds.ts";
import { decodePictures, readPaintedNumber } from "../helpers/paintedClip.ts";
import { seeded } from "../helpers/random.ts";

/** A clip that takes longer has hung; whole ones of this size take half a second. */
const PATIENCE_MS = 120_000;
const ORIGIN = "http://127.0.0.1:5147";
const KINDS = [
  ..."B-frames, one key frame|open GOP transport stream|periodic refresh|Matroska|MJPEG in AVI".split("|"),
  ..."MPEG-4 in AVI with B-frames|turned 90|variable rate|trimmed by an edit list|HEVC|HEVC 10 bit HDR".split(
    "|",
  ),
  ..."fragmented|sound before the picture|VP8|VP9|AV1|ProRes|MPEG-2 program stream".split("|"),
];

type Mutate = (bytes: Buffer, random: () => number) => Buffer;
const at = (bytes: Buffer, random: () => number) => Math.floor(random() * bytes.length);
const noise = (length: number, random: () => number) =>
  Buffer.from(Array.from({ length }, () => random() * 256));

const MUTATIONS: Readonly<Record<string, Mutate>> = {
  "single bits": (bytes, random) => {
    const changed = Buffer.from(bytes);
    for (let i = 0; i < 1 + random() * 20; i++) changed[at(bytes, random)]! ^= 1 << Math.floor(random() * 8);
    return changed;
  },
  "noise over a stretch": (bytes, random) => {
    const changed = Buffer.from(bytes);
    noise(Math.ceil(random() * bytes.length * 0.2), random).copy(changed, at(bytes, random));
    return changed;
  },
  "zeros over a stretch": (bytes, random) => {
    const from = at(bytes, random);
    const until = Math.min(bytes.length, from + Math.ceil(random() * bytes.length * 0.3));
    return Buffer.from(bytes).fill(0, from, until);
  },
  "cut off": (bytes, random) => bytes.subarray(0, at(bytes, random)),
  "a stretch left out": (bytes, random) => {
    const from = at(bytes, random);
    return Buffer.concat([bytes.subarray(0, from), bytes.subarray(from + Math.ceil(random() * 4000))]);
  },
  "a stretch twice": (bytes, random) => {
    const [a, b] = [at(bytes, random), at(bytes, random)].sort((x, y) => x - y) as [number, number];
    return Buffer.concat([bytes.subarray(0, b), bytes.subarray(a)]);
  },
  "noise put in": (bytes, random) => {
    const from = at(bytes, random);
    return Buffer.concat([
      bytes.subarray(0, from),
      noise(Math.ceil(random() * 3000), random),
      bytes.subarray(from),
    ]);
  },
  "numbers in the first and last kilobyte": (bytes, random) => {
    const changed = Buffer.from(bytes);
    for (let i = 0; i < 4; i++) {
      const from = random() < 0.5 ? random() * 1024 : bytes.length - 1 - random() * 1024;
      changed[Math.max(0, Math.floor(from))] = random() < 0.5 ? 255 : 0;
    }
    return changed;
  },
};

interface Outcome {
  readonly kind: string;
  readonly mutation: string;
  readonly result: string;
  /** Frames that may be marked; how many of them show no number, or not the one of their place. */
  readonly markable: number;
  readonly unreadable: number;
  readonly otherNumber: number;
}

/**
 * Mutated clips through the host, as a window would open them. Prints what became of them and fails when one hung, met
 * a bug, or left a process, a file or an open file behind.
 *
 * @param asked number of clips (300) and seed (1)
 */
export async function main(asked: readonly string[] = []): Promise<void> {
  const [count = 300, seed = 1] = asked.map(Number);
  const random = seeded(seed);
  const folder = mkdtempSync(join(tmpdir(), "blademark-fuzz-"));
  const outcomes: Outcome[] = [];
  const leaks: string[] = [];
  // Ctrl+C ends it with the table of what was done.
  let enough = false;
  process.once("SIGINT", () => {
    enough = true;
  });
  try {
    mkdirSync(join(folder, "kinds"));
    const kinds = clipKinds(() => join(folder, "kinds")).filter((k) => KINDS.includes(k.name));
    const clips = [];
    for (const kind of kinds) clips.push({ kind, file: await kind.make() });
    const mutations = Object.entries(MUTATIONS);
    let filesBefore = 0;
    for (let i = 0; i < count && !enough; i++) {
      const { kind, file } = clips[i % clips.length]!;
      const [mutation, mutate] = mutations[Math.floor(i / clips.length) % mutations.length]!;
      const study = join(folder, `study ${i}`);
      mkdirSync(study);
      writeFileSync(join(study, `mutated${extname(file)}`), mutate(readFileSync(file), random));
      outcomes.push({ kind: kind.name, mutation, ...(await open(study, `mutated${extname(file)}`, kind)) });
      leaks.push(...leftBehind(study));
      rmSync(study, { recursive: true });
      // Whatever the first clips open once and for all is counted by then.
      if (i === 20) filesBefore = openFiles();
    }
    const files = openFiles() - filesBefore;
    if (count > 21 && files > 4) leaks.push(`${files} files left open`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  report(outcomes, leaks, seed);
}

async function open(
  study: string,
  clip: string,
  { numbers, width, height }: { numbers: readonly number[]; width: number; height: number },
) {
  const clips = [{ id: "c", name: clip, path: clip, bytes: 0 }];
  writeFileSync(join(study, "study.json"), JSON.stringify({ ...newStudy(), clips }));
  const host = await createHost({ study, windowDir: study, origins: () => new Set([ORIGIN]) });
  try {
    const index = await settled(host);
    const nothing = { markable: 0, unreadable: 0, otherNumber: 0 };
    if (!index) return { result: "HUNG", ...nothing };
    if (index.state === "failed") return { result: `refused: ${index.failureCode}`, ...nothing };
    const warned = index.warnings.length > 0 ? "usable, with warnings" : "usable, nothing noticed";
    const sameSize = index.width === width && index.height === height;
    return { result: warned, ...(sameSize ? await looked(host, index, numbers) : nothing) };
  } finally {
    await host.close();
  }
}

const get = (host: Host, path: string) => host.handle(new Request(`${ORIGIN}/api/clips/c/${path}`));

async function settled(host: Host): Promise<ClipIndex | null> {
  for (const end = Date.now() + PATIENCE_MS; Date.now() < end; ) {
    const index = (await (await get(host, "index")).json()) as ClipIndex;
    if (index.state === "ready" || index.state === "failed") return index;
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  return null;
}

async function looked(host: Host, { ready, doubtful, width, height }: ClipIndex, numbers: readonly number[]) {
  const jpegs: { n: number; jpeg: Uint8Array }[] = [];
  for (let n = 0; n < ready; n++) {
    if (doubtful.some(([from, to]) => n >= from && n < to)) continue;
    const answer = await get(host, `frames/${n}`);
    if (answer.status !== 200) throw new Error(`frame ${n} is not doubtful and not served: ${answer.status}`);
    jpegs.push({ n, jpeg: new Uint8Array(await answer.arrayBuffer()) });
  }
  let [unreadable, otherNumber] = [0, 0];
  const pictures =
    jpegs.length > 0
      ? decodePictures(
          jpegs.map((j) => j.jpeg),
          width,
          height,
        )
      : [];
  for (const [i, picture] of pictures.entries()) {
    try {
      if (readPaintedNumber(picture.data, width, height) !== numbers[jpegs[i]!.n]) otherNumber += 1;
    } catch {
      unreadable += 1;
    }
  }
  return { markable: jpegs.length, unreadable, otherNumber };
}

function leftBehind(study: string): string[] {
  const found: string[] = [];
  const children = execFileSync("ps", ["--ppid", String(process.pid), "-o", "comm="], { encoding: "utf8" });
  if (/ffmpeg/.test(children)) found.push("an ffmpeg process");
  for (const name of readdirSync(study, { recursive: true, encoding: "utf8" }))
    if (/\.tmp$/.test(name)) found.push(`a file ${name}`);
  return found;
}

function openFiles(): number {
  return process.platform === "linux" ? readdirSync("/proc/self/fd").length : 0;
}

function report(outcomes: readonly Outcome[], leaks: readonly string[], seed: number): void {
  const sum = (list: readonly Outcome[], of: (o: Outcome) => number) =>
    list.reduce((total, o) => total + of(o), 0);
  const row = (cells: readonly (string | number)[]) =>
    console.log(cells.map((cell, i) => String(cell).padEnd(i === 0 ? 40 : 14)).join(""));
  console.log(`${outcomes.length} mutated clips, seed ${seed}`);
  row(["what became of them", "clips"]);
  for (const result of [...new Set(outcomes.map((o) => o.result))].sort())
    row([result, outcomes.filter((o) => o.result === result).length]);
  console.log("");
  row(["mutation", "clips", "usable", "markable", "no number", "other number"]);
  for (const mutation of Object.keys(MUTATIONS)) {
    const of = outcomes.filter((o) => o.mutation === mutation);
    const usable = of.filter((o) => o.result.startsWith("usable")).length;
    const [markable, none, other] = [
      sum(of, (o) => o.markable),
      sum(of, (o) => o.unreadable),
      sum(of, (o) => o.otherNumber),
    ];
    row([mutation, of.length, usable, markable, none, other]);
  }
  const bad = outcomes.filter((o) => o.result === "HUNG" || /bug|undefined/.test(o.result));
  for (const { kind, mutation, result } of bad) console.log(`${result}: ${kind}, ${mutation}`);
  console.log(`hung or bug: ${bad.length}; left behind: ${leaks.length > 0 ? leaks.join(", ") : "nothing"}`);
  if (bad.length > 0 || leaks.length > 0) process.exitCode = 1;
}
