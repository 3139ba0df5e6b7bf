import { spawnSync } from "node:child_process";
import {
  chmodSync,
  copyFileSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Ffmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { Preparation } from "../../electron/clip/jobs/preparation.ts";
import { type FilmHooks, writeFilm } from "../../electron/film/writeFilm.ts";
import { FILM, pictureAreas } from "../../src/report/film/layout.ts";
import type { FilmWish } from "../../src/report/film/subjects.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { FFMPEG, readPaintedNumber } from "../helpers/paintedClip.ts";
import { A, B, PAIR_SIZE, pairOfClips, pairStudy } from "../helpers/paintedPair.ts";
import { sharedFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const folder = sharedFolder();
let files: string[] = [];
beforeAll(async () => {
  files = await pairOfClips(folder);
});

/** The numbers painted in both pictures of every frame of a film, decoded from its file without the app's code. */
function numbersIn(film: string): (readonly [number, number])[] {
  const { stdout, status } = spawnSync(
    FFMPEG,
    [
      "-v",
      "error",
      "-i",
      film,
      "-vsync",
      "passthrough",
      "-vf",
      `scale=${FILM.width / 2}:-1`,
      "-f",
      "rawvideo",
      "-pix_fmt",
      "rgba",
      "pipe:1",
    ],
    { maxBuffer: 2 ** 31 - 1 },
  );
  expect(status).toBe(0);
  const [across, down] = [FILM.width / 2, FILM.height / 2];
  const bytes = across * down * 4;
  // Clips of this shape lie across the whole width of their areas, in the middle of the height.
  const boxes = pictureAreas(2).map(({ x, y, width, height }) => {
    const high = (width * PAIR_SIZE.height) / PAIR_SIZE.width;
    const half = (length: number) => Math.round(length / 2);
    return { x: half(x), y: half(y + (height - high) / 2), width: half(width), height: half(high) };
  });
  return Array.from({ length: stdout.length / bytes }, (_, j) => {
    const frame = stdout.subarray(j * bytes, (j + 1) * bytes);
    return boxes.map(({ x, y, width, height }) => {
      const part = new Uint8Array(width * height * 4);
      for (let row = 0; row < height; row++) {
        const at = ((y + row) * across + x) * 4;
        part.set(frame.subarray(at, at + width * 4), row * width * 4);
      }
      return readPaintedNumber(part, width, height);
    }) as unknown as readonly [number, number];
  });
}

function probe(film: string, entries: string): string[] {
  const { stdout } = spawnSync(
    "ffprobe",
    ["-v", "error", "-select_streams", "V:0", "-show_entries", entries, "-of", "default=nw=1:nk=1", film],
    { encoding: "utf8" },
  );
  return stdout.trim().split("\n");
}

describe("clip STUDY TRIAL TRIAL", () => {
  it("shows the frames that belong together, both event frames at once", async () => {
    const out = join(temporaryFolder(), "pair.mp4");
    const ran = await blademark("clip", pairStudy(files), "t1", "t2", "--out", out, "--slow", "4");
    expect(ran).toMatchObject({ status: 0, out: "" });
    const shown = numbersIn(out);
    const zero = shown.findIndex(([a, b]) => a === A.event && b === B.from + B.event);
    expect(zero).toBeGreaterThan(0);
    // At 30 frames a second and four times slower an output frame is 1/120 s of life: half a frame of a, two of b.
    // Blade-off is half a frame after its frame: 1/120 s in a, 1/480 s in b, so a is 3/8 of a frame ahead of even halves.
    for (const [j, [a, b]] of shown.entries()) {
      const steps = j - zero;
      const inside = (n: number, frames: number) => Math.min(Math.max(n, 0), frames - 1);
      expect(a, `a at ${steps}`).toBe(inside(A.event + Math.round(steps / 2 + 0.375), A.frames));
      expect(b, `b at ${steps}`).toBe(B.from + inside(B.event + 2 * steps, B.frames));
    }
    // 0.4 s before and after the events: farther than b reaches, which has 61 frames before its event and 88 after it.
    expect(Math.abs(shown.length - 97)).toBeLessThanOrEqual(1);
    expect(shown[0]![1]).toBe(B.from);
    expect(shown.at(-1)![1]).toBe(B.from + B.frames - 1);
  });

  it("is a film that phones play", async () => {
    const out = join(temporaryFolder(), "one.mp4");
    const ran = await blademark("clip", pairStudy(files), "t1", "--out", out, "--slow", "1", "--codes");
    expect(ran.status).toBe(0);
    expect(probe(out, "stream=codec_name,profile,pix_fmt,level,r_frame_rate,avg_frame_rate")).toEqual([
      ...["h264", "High", "yuv420p", "40", "60/1", "60/1"],
    ]);
    expect(
      spawnSync("ffprobe", ["-v", "error", "-show_entries", "stream=index", "-of", "csv=p=0", out])
        .stdout.toString()
        .trim(),
    ).toBe("0");
    // ISO/IEC 14496-12: the list of frames (moov) before the frames (mdat), so that playing starts at once.
    const bytes = readFileSync(out);
    expect(bytes.indexOf("moov")).toBeLessThan(bytes.indexOf("mdat"));
    for (const word of ["Aino", folder, "blademark"]) expect(bytes.includes(word)).toBe(false);
  });

  it("says what is wrong before it prepares anything", async () => {
    const out = join(temporaryFolder(), "x.mp4");
    for (const [args, status, words] of [
      [["t1", "nobody", "--out", out], 1, "no trial"],
      [["t1", "t2", "--out", out, "--at", "blade_off:right:1"], 1, "right blade-off"],
      [["t1", "t2", "--out", out, "--at", "start"], 1, "first gate"],
      [["t1", "t2", "--out", out, "--at", "blade_off"], 2, "--at needs"],
      [["t1", "t2", "--out", `${out}.avi`], 2, ".mp4"],
      [["t1", "t2", "--out", out, "--at", "stride:2"], 1, "has no stride 2; it has only 1"],
      [["t1", "t2", "--out", out, "--at", "stride:0"], 2, "stride:5"],
      [["t1", "t2", "--out", out, "--from", "2", "--to", "1"], 2, "--from must be before --to"],
      [["t1", "t1", "--out", out], 2, "twice"],
      [["t1", "t2", "--out", join(out, "no", "folder.mp4")], 1, `There is no folder ${join(out, "no")}`],
    ] as const) {
      const ran = await blademark("clip", pairStudy(files), ...args);
      expect(ran.status, ran.said).toBe(status);
      expect(ran.said).toContain(words);
      expect(ran.said).not.toMatch(/Preparing|ENOENT/);
    }
  });

  it("replaces a file of that name, but never a clip of the study", async () => {
    const at = pairStudy(files);
    const mine = join(temporaryFolder(), "mine.mp4");
    copyFileSync(files[0]!, mine);
    const study = JSON.parse(readFileSync(join(at, "study.json"), "utf8")) as Study;
    const clips = study.clips.map((c, k) => (k === 0 ? { ...c, path: mine } : c));
    writeFileSync(join(at, "study.json"), JSON.stringify({ ...study, clips }));
    const link = join(temporaryFolder(), "link.mp4");
    symlinkSync(mine, link);
    for (const out of [mine, link]) {
      const ran = await blademark("clip", at, "t1", "--out", out);
      expect(ran).toMatchObject({ status: 1, said: expect.stringContaining("is a clip of this study") });
      expect(readFileSync(mine).equals(readFileSync(files[0]!))).toBe(true);
    }
    const old = join(temporaryFolder(), "old.mp4");
    writeFileSync(old, "what was there");
    const ran = await blademark("clip", at, "t1", "--out", old, "--slow", "1", "--at", "stride:1");
    expect(ran.status, ran.said).toBe(0);
    expect(ran.said).toContain("left blade-off 1 (stride 1) (--at blade_off:left:1)");
    expect(probe(old, "stream=codec_name")).toEqual(["h264"]);
  });
});

describe("report STUDY --clips", () => {
  it("adds each skater's two techniques side by side, and a later report without them takes them away", async () => {
    const [at, out] = [pairStudy(files), join(temporaryFolder(), "report")];
    const ran = await blademark("report", at, "--out", out, "--codes", "--clips");
    expect(ran.status, ran.said).toBe(0);
    // Under codes the name is made of the skater's code; STUDY calls Aino A1.
    expect(readdirSync(join(out, "clips"))).toEqual(["A1-technique-1-1-and-A1-technique-2-1.mp4"]);
    await blademark("report", at, "--out", out, "--no-pictures");
    expect(readdirSync(out)).not.toContain("clips");
    expect((await blademark("report", at, "--out", out, "--clips", "--no-pictures")).status).toBe(2);
  });
});

describe("a film that is not finished", () => {
  const WISH: FilmWish = { trials: ["t1", "t2"], moment: null, slow: 10, names: "names" };

  let preparation: Preparation;
  let cache = "";
  beforeAll(() => {
    cache = mkdtempSync(join(tmpdir(), "blademark-film-cache-"));
    preparation = new Preparation(cache);
  });
  afterAll(async () => {
    await preparation.close();
    rmSync(cache, { recursive: true, force: true });
  });

  /** Through a program that notes its process id, then is ffmpeg; `instead`: what it does when it writes a film. */
  async function film(hooks: FilmHooks, instead = `exec ${FFMPEG} "$@"`) {
    const real = await findFfmpeg();
    const home = temporaryFolder();
    const [pids, path] = [join(home, "pids"), join(home, "ffmpeg")];
    writeFileSync(pids, "");
    writeFileSync(
      path,
      `#!/bin/sh\ncase "$*" in *rawvideo*) echo $$ >> '${pids}'; ${instead};; esac\nexec ${FFMPEG} "$@"\n`,
    );
    chmodSync(path, 0o755);
    const ffmpeg: Ffmpeg = { ...real, path };
    const out = temporaryFolder();
    const at = pairStudy(files);
    const written = writeFilm(
      { study: JSON.parse(readFileSync(join(at, "study.json"), "utf8")), marks: marksOf(at) },
      WISH,
      join(out, "film.mp4"),
      {
        ...{ preparation, ffmpeg },
        sourceOf: (clip) => ({
          ...{
            clip,
            file: files[Number(clip.slice(-1))]!,
            bytes: 0,
            sha256: null,
            part: null,
            studyFolder: at,
          },
        }),
      },
      hooks,
    );
    const error = await written.then(
      () => null,
      (e: unknown) => e as { code: string; coach: string },
    );
    return { error, left: readdirSync(out), pids: readFileSync(pids, "utf8").trim().split("\n").map(Number) };
  }

  function marksOf(at: string): Record<string, TrialMarks> {
    const read = (t: string) =>
      JSON.parse(readFileSync(join(at, "marks", `${t}.json`), "utf8")) as TrialMarks;
    return { t1: read("t1"), t2: read("t2") };
  }

  const running = (pid: number) => {
    try {
      process.kill(pid, 0);
      return true;
    } catch {
      return false;
    }
  };

  it("leaves no file and no process when it is cancelled", async () => {
    const stop = new AbortController();
    const done: number[] = [];
    const { error, left, pids } = await film({
      signal: stop.signal,
      onProgress: (p) => {
        if (p.doing !== "writing") return;
        done.push(p.done);
        if (p.done === 20) stop.abort();
      },
    });
    expect(error?.code).toBe("cancelled");
    expect(left).toEqual([]);
    expect(Math.max(...done)).toBeLessThan(25);
    expect(pids).toHaveLength(1);
    for (const pid of pids) expect(running(pid)).toBe(false);
  });

  it("says so when the disk is full, when ffmpeg breaks off, and when it can't write H.264", async () => {
    const quiet = { onProgress: () => undefined };
    const cases = [
      [
        "echo 'av_interleaved_write_frame(): No space left on device' >&2; exit 1",
        "disk-full",
        "disk is full",
      ],
      ["head -c 9000000 > /dev/null; exit 1", "not-written", "could not be written"],
      ["echo \"Unknown encoder 'libx264'\" >&2; exit 1", "no-h264", "H.264"],
    ] as const;
    for (const [instead, code, words] of cases) {
      const { error, left } = await film(quiet, instead);
      expect(error).toMatchObject({ code, coach: expect.stringContaining(words) });
      expect(left).toEqual([]);
    }
  });
});
