import { execFileSync } from "node:child_process";
import { copyFileSync, statSync, truncateSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { clipPackets } from "../../electron/clip/ffmpeg/clipPackets.ts";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { listPackets } from "../../electron/clip/ffmpeg/listPackets.ts";
import { type MovTable, movTable } from "../../electron/clip/ffmpeg/movTable.ts";
import { readingHeader } from "../../electron/clip/ffmpeg/stated.ts";
import { FFMPEG } from "../helpers/paintedClip.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

const SOURCE = ["-f", "lavfi", "-i", "testsrc2=size=320x180:rate=30000/1001", "-t", "12"];
const TONE = ["-f", "lavfi", "-i", "sine=frequency=440", "-shortest"];
const X264 = ["-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-g", "30"];
const COPY = ["-c", "copy"];

/** How each is made: arguments after the program's own, {} = the plain one. */
const KINDS: Readonly<Record<string, { readonly args: readonly string[]; readonly plain: boolean }>> = {
  "with B-frames": { args: [...SOURCE, ...X264, "-bf", "2"], plain: true },
  "without B-frames": { args: [...SOURCE, ...X264, "-bf", "0"], plain: true },
  "with sound, its table first": {
    args: [...SOURCE, ...TONE, ...X264, "-bf", "2", "-c:a", "aac", "-movflags", "+faststart"],
    plain: true,
  },
  "without an edit list": { args: ["-i", "{}", ...COPY, "-use_editlist", "0"], plain: true },
  "with offsets below 0": {
    args: ["-i", "{}", ...COPY, "-movflags", "+negative_cts_offsets"],
    plain: true,
  },
  "of another clock": { args: ["-i", "{}", ...COPY, "-video_track_timescale", "600"], plain: true },
  "end to end three times": { args: ["-stream_loop", "2", "-i", "{}", ...COPY], plain: true },
  "of uneven rate": {
    args: [...SOURCE, "-vf", "select='not(eq(mod(n\\,7)\\,3))'", "-vsync", "vfr", ...X264, "-bf", "2"],
    plain: true,
  },
  "in H.265": {
    args: [...SOURCE, "-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:keyint=30"],
    plain: true,
  },
  "of an edit that hides its beginning": { args: ["-ss", "3.3", "-i", "{}", ...COPY], plain: false },
  "that begins late": { args: ["-itsoffset", "1.5", "-i", "{}", ...COPY], plain: false },
  "in pieces": { args: ["-i", "{}", ...COPY, "-movflags", "+frag_keyframe+empty_moov"], plain: false },
  "of two tracks of pictures": { args: ["-i", "{}", "-map", "0:v", "-map", "0:v", ...COPY], plain: false },
};

const folder = sharedFolder();
const files = new Map<string, string>();
beforeAll(() => {
  for (const [kind, { args }] of Object.entries(KINDS)) {
    const file = join(folder, `${kind.replace(/\W/g, "-")}.mp4`);
    const plain = files.get("with B-frames") ?? "";
    execFileSync(FFMPEG, ["-v", "error", "-y", ...args.map((a) => (a === "{}" ? plain : a)), file]);
    files.set(kind, file);
  }
});

const tableOf = (file: string): Promise<MovTable | null> =>
  readingHeader(file, (read, size) => movTable(read, size));

describe("the packets by a film's own table", () => {
  // The truth is ffmpeg's list of all of them, read through.
  it.each(Object.entries(KINDS))("are those that reading it through gives, %s", async (kind, { plain }) => {
    const file = files.get(kind) as string;
    const ffmpeg = await findFfmpeg();
    const request = { file, container: "mov" as const, headBytes: 4096 };
    const through = await listPackets(ffmpeg, request);
    expect(through.packets.length).toBeGreaterThan(200);
    expect(await clipPackets(ffmpeg, request, 0)).toEqual(through);
    // Which of the two it was: where nothing was read by the table, this test would show nothing.
    const table = await tableOf(file);
    expect(table !== null, "it has a plain table").toBe(plain);
    if (!table) return;
    expect(table.packets.map(({ pts, key, size }) => ({ pts, key, size }))).toEqual(
      through.packets.map(({ pts, key, size }) => ({ pts, key, size })),
    );
  });

  it("are not taken from a file that ends before they do", async () => {
    const cut = join(folder, "cut.mp4");
    const whole = files.get("with sound, its table first") as string;
    copyFileSync(whole, cut);
    truncateSync(cut, Math.floor(statSync(whole).size * 0.7));
    expect(await tableOf(cut)).toBeNull();
  });
});
