import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { FFMPEG, H264, hasEncoder, numbersIn, packetTimes, paintedClip } from "../helpers/paintedClip.ts";
import { studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

/** Every kind of clip people bring: each served frame shows its own number, at its own time. */
let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "blademark-clips-"));
  mkdirSync(folder, { recursive: true });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const at = (name: string) => join(folder, name);
const range = (count: number, from = 0) => Array.from({ length: count }, (_, i) => from + i);

interface Kind {
  readonly name: string;
  readonly make: () => Promise<string>;
  readonly numbers: readonly number[];
  /** Seconds, from how the clip was made (closed form), not from any reader of it. */
  readonly times: readonly number[];
  readonly width: number;
  readonly height: number;
  readonly rotation?: number;
  readonly codec: string;
  readonly variableRate?: boolean;
  readonly warnings?: readonly string[];
  /** The container keeps times in milliseconds. */
  readonly within?: number;
  /** AVI packets carry no presentation times. */
  readonly noPacketTimes?: boolean;
}

const plain = (name: string, extension: string, args: readonly string[], more: Partial<Kind> = {}): Kind => ({
  name,
  make: () =>
    paintedClip({ file: at(`${name}.${extension}`), frames: 50, width: 192, height: 128, fps: 30, args }),
  numbers: range(50),
  times: range(50).map((n) => n / 30),
  width: 192,
  height: 128,
  codec: "h264",
  ...more,
});

const turned = (rotation: 90 | 180 | 270): Kind => ({
  ...plain(`turned ${rotation}`, "mp4", H264, { rotation }),
  make: () =>
    paintedClip({
      file: at(`turned ${rotation}.mp4`),
      frames: 50,
      width: 192,
      height: 128,
      fps: 30,
      args: H264,
      rotation,
    }),
});

/** Ticks of 1/90000 s: uneven, as phones record in poor light. */
const unevenTicks = (n: number) => n * 3000 + ((n * n * 37) % 1500);

const KINDS: Kind[] = [
  plain("B-frames, one key frame", "mp4", [...H264, "-preset", "medium", "-bf", "3", "-g", "250"]),
  plain("open GOP transport stream", "ts", [
    ...H264,
    "-preset",
    "medium",
    "-bf",
    "2",
    "-g",
    "12",
    "-x264-params",
    "open-gop=1",
  ]),
  plain("periodic refresh", "mp4", [...H264, "-bf", "0", "-g", "20", "-x264-params", "intra-refresh=1"]),
  plain("Matroska", "mkv", [...H264, "-bf", "2"], { within: 0.0011 }),
  plain("NTSC rate", "mov", [...H264, "-r", "30000/1001", "-vsync", "passthrough"], {
    make: () =>
      paintedClip({
        file: at("ntsc.mov"),
        frames: 50,
        width: 192,
        height: 128,
        fps: 30000 / 1001,
        args: [...H264, "-video_track_timescale", "30000"],
      }),
    times: range(50).map((n) => (n * 1001) / 30000),
    within: 0.00004,
  }),
  plain("MJPEG in AVI", "avi", ["-c:v", "mjpeg", "-q:v", "3", "-pix_fmt", "yuvj420p"], {
    codec: "mjpeg",
    noPacketTimes: true,
  }),
  plain("MPEG-4 in AVI with B-frames", "avi", ["-c:v", "mpeg4", "-bf", "2", "-q:v", "3"], {
    codec: "mpeg4",
    noPacketTimes: true,
  }),
  turned(90),
  turned(180),
  turned(270),
  {
    ...plain("variable rate", "mp4", []),
    make: () =>
      paintedClip({
        ...{ file: at("variable.mp4"), frames: 50, width: 192, height: 128, fps: 30 },
        args: [
          ...["-vf", "settb=1/90000,setpts='N*3000+mod(N*N*37,1500)'", "-vsync", "passthrough"],
          ...["-enc_time_base", "1:90000", ...H264, "-bf", "2", "-video_track_timescale", "90000"],
        ],
      }),
    times: range(50).map((n) => unevenTicks(n) / 90000),
    variableRate: true,
    warnings: ["uneven-times"],
  },
  plain("odd size", "mkv", ["-c:v", "ffv1", "-pix_fmt", "yuv420p"], {
    make: () =>
      paintedClip({
        file: at("odd.mkv"),
        frames: 50,
        width: 193,
        height: 127,
        fps: 30,
        args: ["-c:v", "ffv1", "-pix_fmt", "yuv420p"],
      }),
    ...{ width: 193, height: 127, codec: "ffv1", within: 0.0011 },
  }),
  // 192 coded columns of pixels 4/3 as wide as high are 256 square ones.
  plain("wide pixels", "mp4", ["-vf", "setsar=4/3", ...H264], { width: 256 }),
  // 192 * 8/9 = 170.67, to the nearest column.
  plain("narrow pixels", "mp4", ["-vf", "setsar=8/9", ...H264], { width: 171 }),
  plain(
    "interlaced",
    "mp4",
    [...H264, "-flags", "+ilme+ildct", "-x264-params", "tff=1", "-field_order", "tt"],
    {
      warnings: ["interlaced"],
    },
  ),
  {
    ...plain("trimmed by an edit list", "mp4", []),
    // Cut without encoding at 0.5 s: the packets from the key frame on are there, the list hides the first 15.
    async make() {
      const whole = await paintedClip({
        file: at("whole.mp4"),
        frames: 50,
        width: 192,
        height: 128,
        fps: 30,
        args: [...H264, "-bf", "0", "-g", "100"],
      });
      const cut = at("trimmed.mp4");
      const { status, stderr } = spawnSync(
        FFMPEG,
        ["-v", "error", "-y", "-ss", "0.5", "-i", whole, "-c", "copy", cut],
        { encoding: "utf8" },
      );
      if (status !== 0) throw new Error(stderr);
      return cut;
    },
    numbers: range(35, 15),
    times: range(35).map((n) => n / 30),
  },
  {
    ...plain("slow camera", "mp4", []),
    make: () =>
      paintedClip({
        file: at("240.mp4"),
        frames: 300,
        width: 192,
        height: 128,
        fps: 240,
        args: [...H264, "-bf", "2"],
      }),
    numbers: range(300),
    times: range(300).map((n) => n / 240),
  },
];
if (hasEncoder("libx265")) {
  const x265 = ["-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:bframes=3"];
  KINDS.push(
    plain("HEVC", "mp4", [...x265, "-pix_fmt", "yuv420p", "-tag:v", "hvc1"], { codec: "hevc" }),
    plain(
      "HEVC 10 bit HDR",
      "mov",
      [
        ...[...x265, "-pix_fmt", "yuv420p10le", "-tag:v", "hvc1"],
        ...["-color_trc", "arib-std-b67", "-color_primaries", "bt2020", "-colorspace", "bt2020nc"],
      ],
      { codec: "hevc", warnings: ["hdr"] },
    ),
  );
}

describe("frames of clips", () => {
  it.each(KINDS)("shows every frame of a clip of the kind: $name", async (kind) => {
    const file = await kind.make();
    const host = await testHost(studyFolder(undefined, undefined, [file]));
    const index = await host.until("clip-0", ended);
    expect(index.failure).toBeNull();
    expect(index).toMatchObject({
      ...{ state: "ready", ready: kind.numbers.length, count: kind.numbers.length, countIsExact: true },
      ...{ width: kind.width, height: kind.height, rotation: kind.rotation ?? 0, codec: kind.codec },
      variableRate: kind.variableRate ?? false,
    });
    expect(index.warnings.map((w) => w.code)).toEqual(kind.warnings ?? []);

    const { jpegs, times } = await host.frames("clip-0", index.count);
    expect(numbersIn(jpegs, kind.width, kind.height)).toEqual(kind.numbers);
    expect(times).toEqual(index.times);
    // 1/90000 s is the finest tick any of these containers keeps.
    const within = kind.within ?? 1.2e-5;
    for (const [n, time] of times.entries())
      expect(Math.abs(time - kind.times[n]!), `time of frame ${n}`).toBeLessThan(within);
    if (!kind.noPacketTimes) {
      const packets = packetTimes(file);
      if (packets) expect(times.map((t) => t.toFixed(9))).toEqual(packets.map((t) => t.toFixed(9)));
    }
  });
});
