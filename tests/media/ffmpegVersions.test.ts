import { describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { runFfmpeg } from "../../electron/clip/ffmpeg/runFfmpeg.ts";
import { like, MP4, program } from "./likeFfmpeg.ts";

/** Help texts as these versions print them, as far as we read them. */
const VERSIONS = [
  ["4.2.7-0ubuntu0.1", "-vsync              video sync method", ""],
  [
    "4.4.2",
    "-vsync              video sync method",
    "   checksum          <boolean>    ..FV....... calculate checksums (default true)",
  ],
  [
    "5.1.9-0+deb12u1",
    "-vsync              set video sync method globally; deprecated, use -fps_mode\n-fps_mode[:<spec>]  set framerate mode for matching video streams; overrides vsync",
    "  checksum          <boolean>    ..FV....... calculate checksums (default true)",
  ],
  [
    "6.1.1",
    "-vsync              set video sync method globally; deprecated, use -fps_mode\n-fps_mode[:<stream_spec>] <mode>  set framerate mode for matching video streams; overrides vsync",
    "  checksum          <boolean>    ..FV....... calculate checksums (default true)",
  ],
  [
    "n7.1",
    "-vsync <>           set video sync method globally; deprecated, use -fps_mode\n-fps_mode[:<stream_spec>] <mode>  set framerate mode for matching video streams; overrides vsync",
    "  checksum          <boolean>    ..FV....... calculate checksums (default true)",
  ],
  // 8.0 has dropped -vsync's place in the help of many builds.
  [
    "8.0",
    "-fps_mode[:<stream_spec>] <mode>  set framerate mode for matching video streams; overrides vsync",
    "  checksum  <boolean>  ..FV....... calculate checksums (default true)",
  ],
] as const;

describe("versions of ffmpeg", () => {
  it.each(VERSIONS)("speaks the language of %s", async (version, options, filter) => {
    const path = program(`[ "$*" = "-h full" ] || exit 1
echo "ffmpeg version ${version} Copyright (c) the FFmpeg developers" >&2
cat <<'END'
${options}

sendcmd AVOptions:
   checksum          <boolean>    ..FV....... of another filter

showinfo AVOptions:
${filter}

showpalette AVOptions:
END`);
    expect(await findFfmpeg([{ origin: "system", path }])).toEqual({
      ...{ path, origin: "system", version, cage: expect.stringMatching(/^(bubblewrap|no-network|none)$/) },
      passThrough: [Number(/\d+/.exec(version)?.[0]) >= 5 ? "-fps_mode" : "-vsync", "passthrough"],
      showTimes: version.startsWith("4.2") ? "showinfo" : "showinfo=checksum=0",
    });
  });

  // Lines of these versions' runs over a clip with one B-frame; 4.2 has no durations, 7 and 8 print `cl:`.
  const LINES = [
    [
      "4.2",
      "n:   0 pts:    512 pts_time:0.0333333 pos:     4113 fmt:yuv420p sar:0/1 s:192x128 i:P iskey:0 type:B checksum:9A6F6C3A plane_checksum:[1 2 3] mean:[1 2 3] stdev:[1 2 3]",
    ],
    [
      "5.1",
      "n:   0 pts:    512 pts_time:0.0333333 pos:     4113 fmt:yuv420p sar:0/1 s:192x128 i:P iskey:0 type:B ",
    ],
    [
      "6.1",
      "n:   0 pts:    512 pts_time:0.0333333 duration:    512 duration_time:0.0333333 fmt:yuv420p sar:0/1 s:192x128 i:P iskey:0 type:B ",
    ],
    [
      "7.1",
      "n:   0 pts:    512 pts_time:0.0333333 duration:    512 duration_time:0.0333333 fmt:yuv420p cl:left sar:0/1 s:192x128 i:P iskey:0 type:B ",
    ],
    [
      "8.0",
      "n:   0 pts:    512 pts_time:0.0333333 duration:    512 duration_time:0.0333333 fmt:yuv420p cl:left sar:0/1 s:192x128 i:P iskey:0 type:B ",
    ],
  ] as const;
  it.each(LINES)("reads a frame's line of %s", async (_, line) => {
    const seen: unknown[] = [];
    const path =
      program(`echo "[showinfo@namea @ 0x1] [info] config in time_base: 1/15360, frame_rate: 30/1" >&2
echo "[showinfo@namea @ 0x1] [info] ${line}" >&2`);
    const onFrame = (frame: unknown) => seen.push(frame);
    const run = runFfmpeg(like(path), { ...MP4, file: "clip.mp4", timesName: "name", output: [], onFrame });
    run.output.resume();
    expect((await run.ended).log).toMatchObject({ frames: 1, timebase: { num: 1, den: 15360 } });
    expect(seen).toEqual([{ pts: 512, width: 192, height: 128, pixelAspect: 1, key: false }]);
  });
});
