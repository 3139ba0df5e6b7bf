import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { ALL } from "../faults/table.ts";
import {
  decodePictures,
  FFMPEG,
  H264,
  numbersIn,
  packetsBefore,
  paintedClip,
  readPaintedNumber,
} from "../helpers/paintedClip.ts";
import { seeded } from "../helpers/random.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

const folder = sharedFolder();
let good = "";
let short = "";
const SIZE = { width: 192, height: 128, fps: 30 };
const range = (count: number, from = 0) => Array.from({ length: count }, (_, i) => from + i);

beforeAll(async () => {
  good = await paintedClip({ file: join(folder, "good.mp4"), frames: 60, ...SIZE });
});

const put = (name: string, content: string | Uint8Array) => {
  writeFileSync(join(folder, name), content);
  return join(folder, name);
};

/** Grain, so that a clip is large enough for the noise to leave something of it. */
const noisy = (name: string, args: readonly string[]) =>
  paintedClip({
    ...{ file: join(folder, name), frames: 240, ...SIZE },
    args: ["-vf", "noise=alls=20:allf=t", ...H264, "-bf", "2", "-g", "30", "-b:v", "1500k", ...args],
  });
let streamed: Buffer | null = null;
/** A transport stream, which can be read up to any byte. */
async function stream(): Promise<Buffer> {
  streamed ??= readFileSync(await noisy("stream.ts", []));
  return streamed;
}

async function prepared(file: string) {
  const host = await testHost(studyFolder(undefined, undefined, [file]));
  const index = await host.until("clip-0", ended);
  const doubtful = index.doubtful.flatMap(([from, to]) => range(to - from, from));
  const jpegs: (Uint8Array | null)[] = [];
  for (let n = 0; n < index.ready; n++) {
    const answer = await host.get(`/api/clips/clip-0/frames/${n}`);
    expect(answer.headers.get("x-blademark-doubtful") === "1" || answer.status === 404).toBe(
      doubtful.includes(n),
    );
    jpegs.push(answer.status === 200 ? new Uint8Array(await answer.arrayBuffer()) : null);
  }
  return { index, jpegs, isDoubtful: (n: number) => doubtful.includes(n) };
}

/** The number each picture shows; null where there is none to be read. */
function numbers(jpegs: readonly (Uint8Array | null)[]): (number | null)[] {
  const there = jpegs.filter((jpeg) => jpeg !== null);
  const pictures = decodePictures(there, SIZE.width, SIZE.height);
  return jpegs.map((jpeg) => {
    const picture = jpeg && pictures.shift();
    try {
      return picture ? readPaintedNumber(picture.data, SIZE.width, SIZE.height) : null;
    } catch {
      return null;
    }
  });
}

describe("files that are not good clips", () => {
  it.each([
    [
      "a text file named .mp4",
      () => put("words.mp4", "Split times, Tuesday\n5.12 4.98\n".repeat(50)),
      /"words\.mp4" is not a video/,
    ],
    [
      "random bytes",
      () =>
        put(
          "noise.mov",
          Uint8Array.from({ length: 9000 }, (_, i) => (i * 7919) % 251),
        ),
      /"noise\.mov" is not a video/,
    ],
    ["an empty file", () => put("empty.mp4", ""), /"empty\.mp4" is empty/],
    ["a missing file", () => join(folder, "gone.mp4"), /"gone\.mp4" is not where it was/],
    [
      "a folder",
      () => {
        mkdirSync(join(folder, "folder.mp4"));
        return join(folder, "folder.mp4");
      },
      /"folder\.mp4" is a folder/,
    ],
    [
      "a recording that was cut off",
      () => put("cut.mp4", readFileSync(good).subarray(0, Math.round(readFileSync(good).length / 2))),
      /"cut\.mp4" is incomplete/,
    ],
    [
      "sound without picture",
      () => {
        const file = join(folder, "sound.m4a");
        const sine = ["-f", "lavfi", "-i", "sine=duration=1", "-c:a", "aac", file];
        expect(spawnSync(FFMPEG, ["-v", "error", "-y", ...sine]).status).toBe(0);
        return file;
      },
      /"sound\.m4a" has no picture/,
    ],
    // A playlist would make ffmpeg open other files.
    [
      "a list of other files",
      () => put("list.mp4", `ffconcat version 1.0\nfile good.mp4\n`),
      /"list\.mp4" is not a video/,
    ],
    [
      "a streaming playlist",
      () => put("play.mp4", "#EXTM3U\n#EXTINF:2,\ngood.mp4\n#EXT-X-ENDLIST\n"),
      /"play\.mp4" is not a video/,
    ],
  ])("says in words what is wrong with %s", async (_, make, words) => {
    const host = await testHost(studyFolder(undefined, undefined, [make()]));
    const index = await host.until("clip-0", ended);
    expect(index).toMatchObject({ state: "failed", ready: 0, times: [] });
    expect(index.failure).toMatch(words);
    const frame = await host.get("/api/clips/clip-0/frames/0");
    expect(frame.status).toBe(404);
    expect((await frame.json()).error).toMatch(words);
  });

  it("tries again when a missing clip has come back", async () => {
    const file = join(folder, "returning.mp4");
    const host = await testHost(studyFolder(undefined, undefined, [file]));
    expect((await host.until("clip-0", ended)).state).toBe("failed");
    writeFileSync(file, readFileSync(good));
    expect(await host.until("clip-0", (i) => i.state === "ready")).toMatchObject({
      ready: 60,
      failure: null,
    });
  });

  it("keeps every whole frame of a truncated clip in its place and says that it ends early", async () => {
    const whole = await paintedClip({
      file: join(folder, "whole.mkv"),
      frames: 90,
      ...SIZE,
      args: [...H264, "-g", "15"],
    });
    const bytes = readFileSync(whole);
    const file = put("truncated.mkv", bytes.subarray(0, Math.round(bytes.length * 0.6)));
    const host = await testHost(studyFolder(undefined, undefined, [file]));
    const index = await host.until("clip-0", ended);
    expect(index.state).toBe("ready");
    expect(index.ready).toBeGreaterThan(30);
    expect(index.ready).toBeLessThan(80);
    expect(index.warnings.map((w) => w.code)).toContain("ends-early");
    const { jpegs } = await host.frames("clip-0", index.ready);
    // The last picture may be half there; it is shown, and warned of.
    expect(numbersIn(jpegs.slice(0, -1), 192, 128)).toEqual(range(index.ready - 1));
  });

  it.each(ALL ? range(10) : [0, 3, 6, 9])(
    "keeps what can be kept of a clip cut off after %i of ten parts",
    async (tenths) => {
      const bytes = await stream();
      const end = Math.round((bytes.length * (tenths + 0.37)) / 10);
      const whole = packetsBefore(join(folder, "stream.ts"), end);
      const { index, jpegs, isDoubtful } = await prepared(put(`cut ${tenths}.ts`, bytes.subarray(0, end)));
      expect(index.state).toBe("ready");
      // Pictures that wait for one that never came are shown too; the one that was cut may be.
      expect(index.ready).toBeGreaterThanOrEqual(whole - 1);
      expect(index.ready).toBeLessThanOrEqual(whole + 2);
      for (const [n, number] of numbers(jpegs).entries()) if (!isDoubtful(n)) expect(number).toBe(n);
      expect(range(index.ready).filter(isDoubtful).length).toBeLessThanOrEqual(40);
    },
  );

  it("says from which byte on a cut-off MP4 is missing", async () => {
    const bytes = readFileSync(good);
    for (const tenths of [1, 4, 9]) {
      const file = put(`cut ${tenths}.mp4`, bytes.subarray(0, Math.round((bytes.length * tenths) / 10)));
      const { index } = await prepared(file);
      expect(index).toMatchObject({ state: "failed", failureCode: "clip-incomplete", ready: 0 });
    }
  });

  it.each([
    ["a transport stream", "noise.ts", () => stream()],
    ["Matroska", "noise.mkv", async () => readFileSync(await noisy("noisy.mkv", []))],
    ["an MP4", "noise.mp4", async () => readFileSync(await noisy("noisy.mp4", ["-movflags", "faststart"]))],
  ])(
    "flags every frame that 200 kB of noise in %s may have spoilt, and no other is wrong",
    async (_, name, make) => {
      const bytes = Buffer.from(await make());
      // The noise must not be all there is.
      expect(bytes.length).toBeGreaterThan(1e6);
      const random = seeded(20261125);
      const middle = Math.round(bytes.length / 2) - 100_000;
      for (let i = 0; i < 200_000; i++) bytes[middle + i] = random() * 256;
      const { index, jpegs, isDoubtful } = await prepared(put(name, bytes));
      expect(index.state).toBe("ready");
      const damaged = index.warnings.find((w) => w.code === "damaged");
      expect(damaged?.text).toMatch(/nothing can be marked there/);
      // Each picture that may be marked shows the number that belongs to its time.
      let usable = 0;
      for (const [n, number] of numbers(jpegs).entries()) {
        if (isDoubtful(n)) continue;
        usable += 1;
        expect(number, `frame ${n}`).toBe(Math.round(index.times[n]! * 30));
      }
      expect(usable).toBeGreaterThan(120);
    },
  );

  it("leaves out what follows a change of the picture's size, and says so", async () => {
    const first = await paintedClip({
      file: join(folder, "first.ts"),
      frames: 30,
      ...SIZE,
      args: [...H264, "-bf", "0"],
    });
    const second = await paintedClip({
      file: join(folder, "second.ts"),
      frames: 30,
      from: 30,
      width: 256,
      height: 144,
      fps: 30,
      args: [...H264, "-bf", "0"],
    });
    const file = put("joined.ts", Buffer.concat([readFileSync(first), readFileSync(second)]));
    const host = await testHost(studyFolder(undefined, undefined, [file]));
    const index = await host.until("clip-0", ended);
    expect(index).toMatchObject({ state: "ready", ready: 30, count: 30, width: 192, height: 128 });
    expect(index.warnings.map((w) => w.code)).toContain("size-changes");
    const { jpegs } = await host.frames("clip-0", 30);
    expect(numbersIn(jpegs, 192, 128)).toEqual(range(30));
  });

  it("counts on through a change of the pixels' format, also when it was stopped on the way", async () => {
    const parts = [];
    for (const [i, format] of ["yuv420p", "yuv444p"].entries()) {
      const file = join(folder, `part ${i}.ts`);
      const args = ["-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", format, "-bf", "0"];
      parts.push(readFileSync(await paintedClip({ file, frames: 150, from: 150 * i, ...SIZE, args })));
    }
    const study = studyFolder(undefined, undefined, [put("changing format.ts", Buffer.concat(parts))]);
    const first = await testHost(study);
    await first.until("clip-0", (i) => i.ready > 160);
    await first.get("/api/clips/clip-0/prepare", { method: "DELETE" });
    await first.host.close();
    const host = await testHost(study);
    await host.get("/api/clips/clip-0/prepare", { method: "POST" });
    const index = await host.until("clip-0", ended);
    expect(index).toMatchObject({ state: "ready", ready: 300 });
    const { jpegs } = await host.frames("clip-0", 300);
    expect(numbersIn(jpegs, 192, 128)).toEqual(range(300));
  });

  it.each([
    "with spaces and 'quotes' \"both\".mp4",
    "Vårens första försök – лёд 氷.mp4",
    "-i.mp4",
    "--help",
    "%03d.mp4",
    "concat:a.mp4|b.mp4",
    "file:x,y[0];setpts=1\\n.mp4",
    "no extension",
    "two\nlines.mp4",
    "-vf=crop -y.mp4",
    "$(touch pwned) `id` ; & |.mp4",
  ])("reads a clip whose name is: %s", async (name) => {
    short ||= await paintedClip({ file: join(folder, "short.mp4"), frames: 6, ...SIZE });
    const file = put(name, readFileSync(short));
    const host = await testHost(studyFolder(undefined, undefined, [file]));
    const index = await host.until("clip-0", ended);
    expect(index.failure).toBeNull();
    const { jpegs } = await host.frames("clip-0", 6);
    expect(numbersIn(jpegs, 192, 128)).toEqual(range(6));
  });
});
