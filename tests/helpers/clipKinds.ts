import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { FFMPEG, H264, hasEncoder, paintedClip } from "./paintedClip.ts";

export const range = (count: number, from = 0) => Array.from({ length: count }, (_, i) => from + i);

export interface Kind {
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
  /** Packets carry no presentation times, or not all. */
  readonly noPacketTimes?: boolean;
  /** The first frame that has a time of its own. */
  readonly timesFrom?: number;
  /** An encoder not every ffmpeg has. */
  readonly needs?: string;
}

const SIZE = { width: 192, height: 128, fps: 30 };

/** Every kind of clip people bring; made in `folder()` when asked for. */
export function clipKinds(folder: () => string): Kind[] {
  const at = (name: string) => join(folder(), name);

  const plain = (
    name: string,
    extension: string,
    args: readonly string[],
    more: Partial<Kind> = {},
  ): Kind => ({
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

  /** As front cameras of some phones write: the matrix turns left into right. */
  const mirrored = (rotation: 0 | 90 | 180 | 270): Kind => ({
    ...plain(`mirrored ${rotation}`, "mp4", H264, { rotation, warnings: ["mirrored"] }),
    make: () =>
      paintedClip({
        file: at(`mirrored ${rotation}.mp4`),
        frames: 50,
        width: 192,
        height: 128,
        fps: 30,
        args: H264,
        rotation,
        mirrored: true,
      }),
  });

  /** Ticks of 1/90000 s: uneven, as phones record in poor light. */
  const unevenTicks = (n: number) => n * 3000 + ((n * n * 37) % 1500);

  const kinds: Kind[] = [
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
      warnings: ["no-times"],
    }),
    plain("MPEG-4 in AVI with B-frames", "avi", ["-c:v", "mpeg4", "-bf", "2", "-q:v", "3"], {
      codec: "mpeg4",
      noPacketTimes: true,
      warnings: ["no-times"],
    }),
    turned(90),
    turned(180),
    turned(270),
    mirrored(0),
    mirrored(90),
    mirrored(180),
    mirrored(270),
    {
      ...plain("variable rate", "mp4", []),
      make: () =>
        paintedClip({
          file: at("variable.mp4"),
          frames: 50,
          width: 192,
          height: 128,
          fps: 30,
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
      width: 193,
      height: 127,
      codec: "ffv1",
      within: 0.0011,
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
      warnings: ["discarded-frames"],
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
    kinds.push(
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

  kinds.push(
    plain("H.264 in AVI with B-frames", "avi", [...H264, "-bf", "2"], {
      noPacketTimes: true,
      warnings: ["no-times"],
    }),
    plain("transport stream", "ts", [...H264, "-bf", "2", "-g", "15"]),
    // Cut into pieces as some phones and all streams are written, so that a cut-off recording can be read.
    plain("fragmented", "mp4", [...H264, "-bf", "2", "-g", "10", "-movflags", "frag_keyframe+empty_moov"]),
    plain(
      "Matroska from before zero",
      "mkv",
      [...H264, "-bf", "2", "-output_ts_offset", "-0.7", "-avoid_negative_ts", "disabled"],
      // ffmpeg reads no times before zero and counts 21 frames on from nothing until the file's own begin.
      {
        within: 0.0011,
        noPacketTimes: true,
        variableRate: true,
        timesFrom: 21,
        warnings: ["times-not-increasing", "times-not-in-file"],
      },
    ),
    {
      ...plain("sound before the picture", "mp4", []),
      // The picture begins 0.4 s after the sound: an empty edit (ISO/IEC 14496-12, 8.6.6).
      async make() {
        const silent = await paintedClip({
          file: at("delayed silent.mp4"),
          frames: 50,
          ...SIZE,
          args: [...H264, "-bf", "2"],
        });
        const file = at("delayed.mp4");
        const sine = ["-f", "lavfi", "-i", "sine=duration=1.5"];
        ffmpeg(
          "-itsoffset",
          "0.4",
          "-i",
          silent,
          ...sine,
          "-map",
          "0:v",
          "-map",
          "1:a",
          "-c:v",
          "copy",
          "-c:a",
          "aac",
          file,
        );
        return file;
      },
    },
    {
      ...plain("sound longer than the picture", "mp4", [], { warnings: ["ends-early"] }),
      async make() {
        const silent = await paintedClip({ file: at("long silent.mp4"), frames: 50, ...SIZE, args: H264 });
        const file = at("long sound.mp4");
        ffmpeg("-i", silent, "-f", "lavfi", "-i", "sine=duration=4", "-c:v", "copy", "-c:a", "aac", file);
        return file;
      },
    },
    {
      ...plain("a doubled time", "mp4", [], {
        variableRate: true,
        warnings: ["times-not-increasing"],
      }),
      // Every frame lasts 3000 or 3001 ticks, so that each has an entry of its own in the table of durations
      // (ISO/IEC 14496-12, 8.6.1.2); the one of frame 20 is then made 0.
      async make() {
        const file = await paintedClip({
          file: at("doubled.mp4"),
          frames: 50,
          ...SIZE,
          args: [
            ...["-vf", "settb=1/90000,setpts='N*3000+floor(N/2)'", "-vsync", "passthrough"],
            ...["-enc_time_base", "1:90000", ...H264, "-bf", "0", "-video_track_timescale", "90000"],
          ],
        });
        const bytes = readFileSync(file);
        const durations = bytes.indexOf("stts") + 4;
        bytes.writeUInt32BE(0, durations + 8 + 8 * 20 + 4);
        writeFileSync(file, bytes);
        return file;
      },
      times: range(50).map(
        (n) => (n <= 20 ? n * 3000 + Math.floor(n / 2) : (n - 1) * 3000 + Math.floor(n / 2)) / 90000,
      ),
      within: 3e-5,
    },
    {
      ...plain("a single frame", "mp4", []),
      make: () => paintedClip({ file: at("single.mp4"), frames: 1, from: 7, ...SIZE }),
      numbers: [7],
      times: [0],
    },
    plain(
      "interlaced transport stream",
      "ts",
      [...[...H264, "-flags", "+ilme+ildct", "-x264-params", "bff=1", "-field_order", "bb"]],
      { warnings: ["interlaced"] },
    ),
    {
      ...plain("turned, wide pixels, odd size", "mp4", [], { width: 227, height: 126, rotation: 90 }),
      // Coded 126 x 170 with pixels 3/4 as wide as high; a quarter turn makes them 4/3: 170 * 4/3 = 226.67.
      make: () =>
        paintedClip({
          file: at("turned wide.mp4"),
          frames: 50,
          width: 170,
          height: 126,
          fps: 30,
          rotation: 90,
          args: ["-vf", "setsar=3/4", ...H264],
        }),
    },
    plain(
      "VP8",
      "webm",
      ["-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "2M", "-g", "15"],
      {
        codec: "vp8",
        within: 0.0011,
        needs: "libvpx",
      },
    ),
    plain(
      "VP9",
      "webm",
      ["-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "2M", "-g", "15"],
      {
        codec: "vp9",
        within: 0.0011,
        needs: "libvpx-vp9",
      },
    ),
    plain(
      "AV1",
      "mp4",
      ["-c:v", "libaom-av1", "-cpu-used", "8", "-usage", "realtime", "-b:v", "2M", "-g", "15"],
      {
        codec: "av1",
        needs: "libaom-av1",
      },
    ),
    plain("ProRes", "mov", ["-c:v", "prores_ks", "-profile:v", "0", "-pix_fmt", "yuv422p10le"], {
      codec: "prores",
      needs: "prores_ks",
    }),
    plain("MPEG-2 program stream", "mpg", ["-c:v", "mpeg2video", "-q:v", "3", "-bf", "2", "-g", "12"], {
      codec: "mpeg2video",
      noPacketTimes: true,
      warnings: ["times-not-in-file"],
    }),
  );
  return kinds.filter((kind) => !kind.needs || hasEncoder(kind.needs));
}

function ffmpeg(...args: readonly string[]): void {
  const { status, stderr } = spawnSync(FFMPEG, ["-v", "error", "-y", ...args], { encoding: "utf8" });
  if (status !== 0) throw new Error(stderr);
}
