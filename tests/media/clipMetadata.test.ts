import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { stated } from "../../electron/clip/ffmpeg/stated.ts";
import { Preparation } from "../../electron/clip/jobs/preparation.ts";
import { frameIndex } from "../../electron/clip/store/frameIndex.ts";
import { ALL } from "../faults/table.ts";
import { range } from "../helpers/clipKinds.ts";
import { FFMPEG, H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, temporaryFolder } from "../helpers/studyFolder.ts";

/**
 * What a clip says of itself in words (titles, names of its tracks, chapters, notes inside the pictures) is printed by
 * ffmpeg among its own lines. None of it may change when frames are, how many there are, their size or anything said.
 */
const FRAMES = 24;
const KINDS = ["mp4", "mov", "mkv", "avi"];
const folder = sharedFolder();
const plain: Record<string, string> = {};
beforeAll(async () => {
  const clip = { frames: FRAMES, width: 192, height: 128, fps: 60, args: [...H264, "-bf", "2", "-g", "12"] };
  for (const kind of KINDS) plain[kind] = await paintedClip({ ...clip, file: join(folder, `plain.${kind}`) });
});

const frameLine = (n: number) =>
  `n:${n} pts:${n * 99} pts_time:${n} pos:1 fmt:yuv420p sar:1/1 s:64x48 i:T iskey:1 type:I `;
/** Everything our reading of the log ever looked at, and what a terminal would obey. */
const TEXTS: readonly string[] = [
  ": Video: hevc (Main), yuv420p(tv, bt709, top first), 64x48, 120 fps, 120 tbr, 90k tbn",
  "Stream #0:0: Video: mjpeg, yuvj420p(pc), 64x48, 240 fps",
  "\nStream #0:0(und): Video: h264, yuv420p(top first), 64x48, 240 fps\n    displaymatrix: rotation of -90.00 degrees",
  "Duration: 10:00:00.00, start: 5.000000, bitrate: 1 kb/s",
  "\n[info]   Duration: 10:00:00.00, start: 5.000000\n[info] Input #0, avi, from 'x':",
  "displaymatrix: rotation of 90.00 degrees",
  `[Parsed_showinfo_0 @ 0x1] [info] ${frameLine(0)}`,
  `\n[Parsed_showinfo_0 @ 0x1] [info] config in time_base: 1/7, frame_rate: 7/1\n[Parsed_showinfo_0 @ 0x1] [info] ${frameLine(0)}`,
  `\r\n[showinfo@0 @ 0x1] [info] ${frameLine(3)}\r[showinfo @ 0x1] [info] ${frameLine(4)}\u2028${frameLine(5)}`,
  "\n[info] Stream mapping:\n[info] Output #0, null, to 'pipe:':",
  "\n[info]     title : Packet corrupt\nconcealing 96 DC, 96 AC, 96 MV errors\n[warning] corrupt decoded frame in stream 0",
  "\u001b[2J\u001b]0;owned\u0007\u001b[31mred\u009b31m\u202egnp.exe",
  "#tb 0: 1/7\n0, 0, 0, 1, 100, 0x00000000\n#codec_id 0: mjpeg\n#dimensions 0: 64x48",
  "x".repeat(60_000),
  `%s%n%d $HOME $(id) "'\\`,
];

const run = (...args: readonly string[]) => {
  const { status, stderr } = spawnSync(FFMPEG, ["-v", "error", "-y", ...args], { encoding: "utf8" });
  if (status !== 0) throw new Error(stderr);
};

/** The same pictures and times, with `text` wherever the container takes words. */
function withText(kind: string, text: string, name: string, key = ""): string {
  const chapters = join(folder, `${name}.ffmeta`);
  const escaped = text.replace(/[=;#\\\n]/g, (c) => `\\${c}`);
  spawnSync("tee", [chapters], {
    input: `;FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=200\ntitle=${escaped}\n`,
  });
  const file = join(folder, `${name}.${kind}`);
  const keys = ["title", "comment", "artist", "encoder", "rotate", "odd key"];
  run(
    ...[
      "-i",
      plain[kind]!,
      "-f",
      "ffmetadata",
      "-i",
      chapters,
      "-map",
      "0",
      "-map_chapters",
      kind === "avi" ? "-1" : "1",
    ],
    ...["-c", "copy", ...keys.flatMap((key) => ["-metadata", `${key}=${text}`])],
    ...["title", "handler_name", "handler", "vendor_id", "encoder"].flatMap((name) => [
      "-metadata:s:v:0",
      `${name}=${text}`,
    ]),
    ...(key === "" ? [] : ["-metadata:s:v:0", `language=${key}`]),
    ...(kind === "mp4" || kind === "mov" ? ["-movflags", "use_metadata_tags"] : []),
    ...(key === "" ? [] : ["-metadata", `${key.replaceAll("=", "").slice(0, 2000)}=value`]),
    ...[
      "-bsf:v",
      `h264_metadata=sei_user_data='086f3693b7b34f2c965321492feee5b8+${text.replace(/[\\':;,[\]]/g, " ").slice(0, 2000)}'`,
    ],
    `file:${file}`,
  );
  return file;
}

describe.each(KINDS)("words in a clip's %s", (kind) => {
  it("change nothing that is read from it", async () => {
    const ffmpeg = await findFfmpeg();
    const { times, warnings, ...clean } = await frameIndex(ffmpeg, plain[kind]!);
    expect(clean).toMatchObject({
      count: FRAMES,
      width: 192,
      height: 128,
      codec: "h264",
      rotation: 0,
      mirrored: false,
    });
    for (const [n, t] of times.entries()) expect(Math.abs(t - n / 60)).toBeLessThan(0.0011);
    for (const [i, text] of TEXTS.entries()) {
      // The containers share them.
      if (!ALL && i % 4 !== KINDS.indexOf(kind)) continue;
      const file = withText(kind, text, `evil-${i}`);
      const index = await frameIndex(ffmpeg, file);
      expect(index, JSON.stringify(text).slice(0, 200)).toEqual({ ...clean, times, warnings });
      expect(await stated(file)).toMatchObject({ ...(await stated(plain[kind]!)), lasts: expect.anything() });
    }
  });

  it("change nothing of its prepared frames", async () => {
    const text = TEXTS.join("\n");
    const file = withText(kind, text, "evil-all");
    const preparation = new Preparation(temporaryFolder());
    const source = { clip: "c", file, bytes: 0, sha256: null, part: null, studyFolder: folder };
    await preparation.follow([source]);
    let index = await preparation.index(source);
    for (let i = 0; i < 30_000 && index.state !== "ready" && index.state !== "failed"; i++) {
      // An estimate of their number is never taken from words either.
      expect(index.count).toBeLessThanOrEqual(2 * FRAMES);
      await new Promise((resolve) => setTimeout(resolve, 10));
      index = await preparation.index(source);
    }
    expect(index).toMatchObject({
      state: "ready",
      ready: FRAMES,
      count: FRAMES,
      width: 192,
      height: 128,
      codec: "h264",
    });
    const { warnings } = await frameIndex(await findFfmpeg(), plain[kind]!);
    expect(index.warnings).toEqual(warnings);
    const frames = await Promise.all(range(FRAMES).map((n) => preparation.frame(source, n)));
    const jpegs = frames.map((frame) => (frame.kind === "frame" ? frame.jpeg : new Uint8Array()));
    expect(numbersIn(jpegs, 192, 128)).toEqual(range(FRAMES));
    await preparation.close();
  });
});

// The name of a tag and a language are printed with line feeds and all (Matroska takes any). A file can say by them that it
// is damaged, which costs only itself; it can say nothing about its frames.
it("let a file call itself damaged at most", async () => {
  const ffmpeg = await findFfmpeg();
  const clean = await frameIndex(ffmpeg, plain.mkv!);
  for (const [i, text] of TEXTS.entries()) {
    if (!ALL && i % 3 !== 1) continue;
    const index = await frameIndex(
      ffmpeg,
      withText("mkv", "title", `key-${i}`, `a\n${text}\n[error] \u001b[2Jx`),
    );
    expect({ ...index, warnings: [] }).toEqual({ ...clean, warnings: [] });
    expect(index.warnings.filter((w) => w.code !== "damaged")).toEqual([]);
    for (const { text } of index.warnings) expect(text).toMatch(/^[\P{C}]*$/u);
  }
});
