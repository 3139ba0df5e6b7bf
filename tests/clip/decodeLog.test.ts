import { describe, expect, it } from "vitest";
import { type DecodedFrame, readDecodeLog } from "../../electron/clip/ffmpeg/decodeLog.ts";

function read(text: string) {
  const frames: DecodedFrame[] = [];
  const reader = readDecodeLog((frame) => frames.push(frame));
  for (const line of text.split("\n")) reader.line(line);
  return { frames, log: reader.log };
}

const phone = (stream: string, side = "") => `[info] Input #0, mov,mp4,m4a,3gp,3g2,mj2, from 'file:a.mov':
[info]   Duration: 00:01:02.50, start: -0.100000, bitrate: 289 kb/s
[info]   Stream #0:0[0x1](und): Audio: aac (LC) (mp4a / 0x6134706D), 44100 Hz, mono, fltp, 96 kb/s (default)
[info]   Stream #0:1[0x2](und): Video: ${stream}
${side}[info] Stream mapping:
[info] Output #0, tee, to 'pipe:1':
[info]   Stream #0:0(und): Video: mjpeg, yuvj420p(pc, progressive), 100x100, q=2-31, 200 kb/s, 25 fps, 90k tbn
`;

describe("reading ffmpeg's log", () => {
  // Lines as ffmpeg 4.2, 5.1 and 7.0 print them.
  it("reads codec, rate, duration and turn, and not the output's", () => {
    const { log } = read(
      phone(
        "hevc (Main 10) (hvc1 / 0x31637668), yuv420p10le(tv, bt2020nc/bt2020/arib-std-b67), 1920x1080, 12193 kb/s, 59.94 fps, 59.94 tbr, 600 tbn (default)",
        "[info]     Side data:\n[info]       displaymatrix: rotation of -90.00 degrees\n",
      ),
    );
    expect(log.facts).toEqual({
      ...{
        container: "mov,mp4,m4a,3gp,3g2,mj2",
        codec: "hevc",
        pixelFormat: "yuv420p10le",
        transfer: "arib-std-b67",
        interlaced: false,
        rotation: 90,
      },
      ...{ declaredRate: 59.94, declaredDuration: 62.5, declaredStart: -0.1 },
    });
  });

  it.each([
    ["90.00", 270],
    ["-180.00", 180],
    ["180.00", 180],
    ["-270.00", 270],
    ["-0.00", 0],
  ])("turns %s counter-clockwise into %d clockwise", (said, rotation) => {
    const { log } = read(
      phone("h264, yuv420p, 10x10", `[info]       displaymatrix: rotation of ${said} degrees\n`),
    );
    expect(log.facts.rotation).toBe(rotation);
  });

  it("does not take a cover picture for the clip", () => {
    const { log } = read(`[info] Input #0, mov, from 'a.m4v':
[info]   Stream #0:0: Video: mjpeg (Baseline), yuvj420p(pc, bt470bg/unknown/unknown), 600x600, 90k tbr, 90k tbn (attached pic)
[info]   Stream #0:1: Video: h264 (High), yuv420p(tv, bt709, top first), 720x576 [SAR 16:15 DAR 4:3], 25 fps, 25 tbr, 12800 tbn`);
    expect(log.facts).toMatchObject({ codec: "h264", interlaced: true, declaredRate: 25 });
  });

  it("reads each frame's integer time and picture, and the timebase", () => {
    const { frames, log } =
      read(`[Parsed_showinfo_0 @ 0x5653f5e41080] [info] config in time_base: 1/15360, frame_rate: 30/1
[Parsed_showinfo_0 @ 0x5653f5e41080] [info] config out time_base: 0/0, frame_rate: 0/0
[Parsed_showinfo_0 @ 0x5653f5e41080] [info] n:   0 pts:      0 pts_time:0       pos:       48 fmt:yuv420p sar:4/3 s:322x242 i:P iskey:1 type:I 
[Parsed_showinfo_0 @ 0x5653f5e41080] [info]   side data - User Data Unregistered:
[Parsed_showinfo_0 @ 0x5653f5e41080] [info] n:   1 pts:  -512 pts_time:-0.0333333 duration: 512 duration_time:0.03 fmt:yuv420p cl:left sar:0/1 s:322x242 i:P iskey:0 type:B 
[Parsed_showinfo_0 @ 0x5653f5e41080] [info] n:   2 pts:NOPTS pts_time:NOPTS fmt:gray sar:1/1 s:8x6 i:P iskey:0 type:B `);
    expect(log.timebase).toEqual({ num: 1, den: 15360 });
    expect(frames).toEqual([
      { pts: 0, width: 322, height: 242, pixelAspect: 4 / 3, key: true },
      { pts: -512, width: 322, height: 242, pixelAspect: 1, key: false },
      { pts: null, width: 8, height: 6, pixelAspect: 1, key: false },
    ]);
  });

  it("collects problems with the frame they were near, without addresses", () => {
    const { log } = read(`[mov @ 0x55aa] [error] a strange header
[info] Stream mapping:
[Parsed_showinfo_0 @ 0x1] [info] n:   0 pts:      0 pts_time:0 fmt:gray sar:1/1 s:8x6 i:P iskey:1 type:I 
[h264 @ 0x55aa] [error] error while decoding MB 3 4, bytestream -7
[swscaler @ 0x1] [warning] deprecated pixel format used
[mpegts @ 0x1] [warning] Packet corrupt (stream = 0, dts = 237000).
[h264 @ 0x55aa] [info] concealing 96 DC, 96 AC, 96 MV errors in P frame
[warning] file:x.mp4: corrupt decoded frame in stream 0`);
    expect(log.problems).toEqual([
      { nearFrame: null, text: "a strange header" },
      { nearFrame: 1, text: "error while decoding MB 3 4, bytestream -7" },
      { nearFrame: 1, text: "Packet corrupt" },
      { nearFrame: 1, text: "concealing 96 DC, 96 AC, 96 MV errors" },
      { nearFrame: 1, text: "corrupt decoded frame" },
    ]);
  });

  it("does not take a clip's own title for damage, nor loses the timebase behind an unended message", () => {
    const { log } = read(`[info] Input #0, mov, from 'file:a.mov':
[info]     title           : Packet corrupt
[info] Stream mapping:
contact the mailing list. (ffmpeg-devel@ffmpeg.org)config in time_base: 1/600, frame_rate: 30/1`);
    expect(log.problems).toEqual([]);
    expect(log.timebase).toEqual({ num: 1, den: 600 });
  });
});
