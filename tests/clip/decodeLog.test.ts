import { PassThrough } from "node:stream";
import { describe, expect, it } from "vitest";
import { boundedLines, plainText } from "../../electron/clip/ffmpeg/boundedLines.ts";
import {
  type DecodedFrame,
  namedFilter,
  readDecodeLog,
  secretName,
} from "../../electron/clip/ffmpeg/decodeLog.ts";

const NAME = "0123456789abcdef0123456789abcdef";
const OWN = `[showinfo@${NAME}a @ 0x5653f5e41080] [info]`;
const AGAIN = `[showinfo@${NAME}b @ 0x5653f5e41090] [info]`;

function read(text: string) {
  const frames: DecodedFrame[] = [];
  const reader = readDecodeLog(NAME, (frame) => frames.push(frame));
  for (const line of text.split("\n")) reader.line(line);
  return { frames, log: reader.log };
}

// Lines as ffmpeg 4.2, 5.1 and 7.0 print them.
describe("reading ffmpeg's log", () => {
  it("reads each frame's integer time and picture, and the timebase", () => {
    const { frames, log } = read(`${OWN} config in time_base: 1/15360, frame_rate: 30/1
${OWN} config out time_base: 0/0, frame_rate: 0/0
${OWN} n:   0 pts:      0 pts_time:0       pos:       48 fmt:yuv420p sar:4/3 s:322x242 i:P iskey:1 type:I 
${OWN}   side data - User Data Unregistered:
${OWN} n:   1 pts:  -512 pts_time:-0.0333333 duration: 512 duration_time:0.03 fmt:yuv420p cl:left sar:0/1 s:322x242 i:P iskey:0 type:B 
${OWN} n:   2 pts:NOPTS pts_time:NOPTS fmt:gray sar:1/1 s:8x6 i:P iskey:0 type:B checksum:9A6F6C3A plane_checksum:[1 2 3] mean:[1 2 3]`);
    expect(log.timebase).toEqual({ num: 1, den: 15360 });
    expect(log).toMatchObject({ interlaced: false, transfer: "", problems: [] });
    expect(frames).toEqual([
      { pts: 0, width: 322, height: 242, pixelAspect: 4 / 3, key: true },
      { pts: -512, width: 322, height: 242, pixelAspect: 1, key: false },
      { pts: null, width: 8, height: 6, pixelAspect: 1, key: false },
    ]);
  });

  it("reads what frames say of fields and of HDR", () => {
    const { log } = read(`${OWN} n:   0 pts:      0 pts_time:0 fmt:yuv420p sar:1/1 s:8x6 i:T iskey:1 type:I 
${OWN} color_range:tv color_space:bt2020nc color_primaries:bt2020 color_trc:arib-std-b67`);
    expect(log).toMatchObject({ interlaced: true, transfer: "arib-std-b67" });
  });

  it("takes nothing for a frame that the filter of this run did not say", () => {
    const line = "n:   0 pts:  99999 pts_time:0 fmt:yuv420p sar:1/1 s:8x6 i:P iskey:1 type:I ";
    const others = [
      "",
      "[info] ",
      "[Parsed_showinfo_0 @ 0x1] [info] ",
      `[showinfo@${secretName()} @ 0x1] [info] `,
    ];
    const inside = [`[info]     title           : ${OWN} ${line}`, `[h264 @ 0x1] [info] ${OWN} ${line}`];
    for (const text of [...others.map((other) => other + line), ...inside])
      expect(read(text), text).toMatchObject({ frames: [], log: { frames: 0, timebase: null } });
    expect(
      read("[Parsed_showinfo_0 @ 0x1] [info] config in time_base: 1/600, frame_rate: 30/1").log.timebase,
    ).toBeNull();
    expect(namedFilter("showinfo=checksum=0", NAME)).toBe(
      `showinfo@${NAME}a=checksum=0,showinfo@${NAME}b=checksum=0`,
    );
    expect(namedFilter("showinfo", NAME)).toBe(`showinfo@${NAME}a`);
    expect(secretName()).not.toBe(secretName());
  });

  it("keeps the number of every frame when a line is lost in another's, and has no time for that one", () => {
    const frame = (n: number) =>
      `n: ${n} pts: ${512 * n} pts_time:0 fmt:gray sar:1/1 s:8x6 i:P iskey:${n === 0 ? 1 : 0} type:${n === 0 ? "I" : "B"} `;
    // A message that ended without a new line swallows the beginning of the next; one of another thread runs into the end.
    const { frames, log } = read(`[info] Stream mapping:
${OWN} ${frame(0)}
[h264 @ 0x1] [info] unendedn:   1 pts: 512 pts_time:0 fmt:gray sar:1/1 s:8x6 i:P iskey:0 type:B 
${OWN} ${frame(2)}error while decoding MB 3 4
${OWN} ${frame(3)}`);
    expect(frames.map((f) => f.pts)).toEqual([0, null, 1024, 1536]);
    expect(log.problems).toEqual([{ nearFrame: 3, text: "error while decoding MB 3 4" }]);
  });

  it("finds a frame whose line was swallowed in the line of the second filter", () => {
    const line = (own: string, n: number) =>
      `${own} n: ${n} pts: ${512 * n} pts_time:0 fmt:gray sar:1/1 s:8x6 i:P iskey:0 type:B `;
    // As ffmpeg 5.1 printed it over a clip with a note behind the picture.
    const { frames, log } = read(`${line(OWN, 0)}
${line(AGAIN, 0)}
[h264 @ 0x561ef12b9d00] [warning] Late SEIn:   1 pts:     512 pts_time:0.183333 pos:    10154 fmt:yuv420p sar:1/1 s:8x6 i:P iskey:0 type:P 
${line(AGAIN, 1)}
${line(OWN, 2)}
[h264 @ 0x561ef12b9d00] [warning] Late SEIn:   2 pts:     1024 pts_time:0.183333 pos:    10154 fmt:yuv420p sar:1/1 s:8x6 i:P iskey:0 type:P 
${line(OWN, 3)}
${line(AGAIN, 3)}`);
    expect(frames.map((f) => f.pts)).toEqual([0, 512, 1024, 1536]);
    expect(log).toMatchObject({ frames: 4, problems: [] });
  });

  it("goes on counting when the filters were built anew", () => {
    const line = (own: string, n: number, pts: number) =>
      `${own} n: ${n} pts: ${pts} pts_time:0 fmt:gray sar:1/1 s:8x6 i:P iskey:0 type:B `;
    const both = (n: number, pts: number) => `${line(OWN, n, pts)}\n${line(AGAIN, n, pts)}`;
    const { frames } = read([both(0, 0), both(1, 1), both(0, 2), both(1, 3), both(0, 4)].join("\n"));
    expect(frames.map((f) => f.pts)).toEqual([0, 1, 2, 3, 4]);
  });

  it("collects problems with the frame they were near, without addresses", () => {
    const { log } = read(`[mov @ 0x55aa] [error] a strange header
[info] Stream mapping:
${OWN} n:   0 pts:      0 pts_time:0 fmt:gray sar:1/1 s:8x6 i:P iskey:1 type:I 
[h264 @ 0x55aa] [error] error while decoding MB 3 4, bytestream -7
[swscaler @ 0x1] [warning] deprecated pixel format used
[mpegts @ 0x1] [warning] Packet corrupt (stream = 0, dts = 237000).
[h264 @ 0x55aa] [info] concealing 96 DC, 96 AC, 96 MV errors in P frame
[warning] file:x.mp4: corrupt decoded frame in stream 0
[vist#0:0/h264 @ 0x1] [dec:h264 @ 0x2] [error] Decoding error: Invalid data`);
    expect(log.problems).toEqual([
      { nearFrame: null, text: "a strange header" },
      { nearFrame: 1, text: "error while decoding MB 3 4, bytestream -7" },
      { nearFrame: 1, text: "Packet corrupt" },
      { nearFrame: 1, text: "concealing 96 DC, 96 AC, 96 MV errors" },
      { nearFrame: 1, text: "corrupt decoded frame" },
      { nearFrame: 1, text: "Decoding error: Invalid data" },
    ]);
  });

  it("keeps no more than a few problems of one frame, however many are said", () => {
    const said = Array.from({ length: 5000 }, (_, i) => `[h264 @ 0x1] [error] ${i}`).join("\n");
    expect(read(said).log.problems).toHaveLength(20);
  });

  it("does not take a clip's own title for damage", () => {
    const { log } = read(`[info] Input #0, mov, from 'file:a.mov':
[info]     title           : Packet corrupt
[info]                     : [error] corrupt decoded frame
[info] Stream mapping:`);
    expect(log.problems).toEqual([]);
  });
});

describe("lines of a stream", () => {
  const linesOf = async (...chunks: (string | Buffer)[]) => {
    const stream = new PassThrough();
    const lines: string[] = [];
    const read = boundedLines(stream, (line) => lines.push(line));
    for (const chunk of chunks) stream.write(chunk);
    stream.end();
    await read;
    return lines;
  };

  it("end at a line feed and at nothing else, wherever they were cut", async () => {
    expect(await linesOf("a\rb\u2028c\u0085d\ne", "f\n\ng\r\nlast")).toEqual([
      "a\rb\u2028c\u0085d",
      "ef",
      "",
      "g",
      "last",
    ]);
    const bytes = Buffer.from("größe\n");
    expect(await linesOf(bytes.subarray(0, 3), bytes.subarray(3))).toEqual(["größe"]);
  });

  it("are cut when they are long, and the next is whole", async () => {
    const [long, next] = await linesOf(
      ..."x"
        .repeat(50)
        .split("")
        .map((x) => x.repeat(1e6)),
      "\nnext\n",
    );
    expect(long).toBe("x".repeat(4096));
    expect(next).toBe("next");
  });

  it("are shown without anything that moves a cursor, turns the writing or ends a line", () => {
    expect(plainText("a\u001b[2J\u001b]0;x\u0007b\r\nc\u202ed\u009bm\u2028e")).toBe("a [2J ]0;x b c d m e");
    expect(plainText("x".repeat(1000)).length).toBeLessThan(210);
  });
});
