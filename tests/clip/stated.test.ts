import { readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { turnOf } from "../../electron/clip/ffmpeg/movHeader.ts";
import { containerOf, NOTHING_STATED, stated } from "../../electron/clip/ffmpeg/stated.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const CLIPS = join(import.meta.dirname, "../../sample-clips/clips");

const fileOf = (bytes: Buffer) => {
  const file = join(temporaryFolder(), "clip");
  writeFileSync(file, bytes);
  return file;
};
/** ISO/IEC 14496-12, 4.2: length, type, content. */
const box = (type: string, ...parts: Buffer[]) => {
  const content = Buffer.concat(parts);
  const head = Buffer.alloc(8);
  head.writeUInt32BE(8 + content.length);
  head.write(type, 4, "latin1");
  return Buffer.concat([head, content]);
};
const numbers = (...words: number[]) => {
  const bytes = Buffer.alloc(4 * words.length);
  for (const [i, word] of words.entries()) bytes.writeInt32BE(word | 0, 4 * i);
  return bytes;
};
const ONE = 65536;
const matrix = ([a, b, c, d]: readonly number[]) =>
  numbers(a! * ONE, b! * ONE, 0, c! * ONE, d! * ONE, 0, 0, 0, 2 ** 30);
const STRAIGHT = [1, 0, 0, 1] as const;
/** 8.2.2 and 8.3.2, both versions. */
const mvhd = (version: 0 | 1, ticks: number, m: readonly number[] = STRAIGHT) =>
  box(
    "mvhd",
    version === 1 ? numbers(1 << 24, 0, 0, 0, 0, 600, 0, ticks) : numbers(0, 0, 0, 600, ticks),
    numbers(ONE, 256 << 16, 0, 0),
    matrix(m),
    numbers(0, 0, 0, 0, 0, 0, 2),
  );
const tkhd = (version: 0 | 1, m: readonly number[]) =>
  box(
    "tkhd",
    version === 1 ? numbers(1 << 24, 0, 0, 0, 0, 1, 0, 0, 0) : numbers(0, 0, 0, 1, 0, 0),
    numbers(0, 0, 0, 0),
    matrix(m),
    numbers(640 * ONE, 480 * ONE),
  );
const track = (kind: string, m: readonly number[], version: 0 | 1 = 0) =>
  box("trak", tkhd(version, m), box("mdia", box("hdlr", numbers(0, 0), Buffer.from(kind), Buffer.alloc(13))));
const mp4 = (...moov: Buffer[]) => Buffer.concat([box("ftyp", Buffer.from("isom")), box("moov", ...moov)]);

describe("what a file states of itself", () => {
  // x' = a x + c y, y' = b x + d y with y downwards (ISO/IEC 14496-12, 6.2.2): where the two axes go says it all.
  it.each([
    ["as it is", [1, 0, 0, 1], 0, false],
    ["a quarter clockwise: x goes down, y to the left", [0, 1, -1, 0], 90, false],
    ["half a turn", [-1, 0, 0, -1], 180, false],
    ["a quarter the other way: x goes up, y to the right", [0, -1, 1, 0], 270, false],
    ["mirrored: x goes to the left", [-1, 0, 0, 1], 0, true],
    ["upside down: y goes up, which is mirrored and half a turn", [1, 0, 0, -1], 180, true],
    ["mirrored, then a quarter clockwise: x goes up, y to the left", [0, -1, -1, 0], 90, true],
    ["mirrored, then a quarter the other way: x and y change places", [0, 1, 1, 0], 270, true],
  ] as const)("is turned %s", async (_, m, rotation, mirrored) => {
    expect(turnOf(m)).toEqual({ rotation, mirrored });
    for (const version of [0, 1] as const) {
      const file = fileOf(mp4(mvhd(version, 1500), track("soun", STRAIGHT), track("vide", m, version)));
      expect(await stated(file)).toEqual({ container: "mov", lasts: 2.5, rotation, mirrored });
      const byMovie = fileOf(mp4(mvhd(version, 1500, m), track("vide", STRAIGHT, version)));
      expect(await stated(byMovie)).toMatchObject({ rotation, mirrored });
    }
  });

  it("is mirrored once more by a movie that mirrors a mirrored track", async () => {
    const file = fileOf(mp4(mvhd(0, 600, [-1, 0, 0, 1]), track("vide", [-1, 0, 0, 1])));
    expect(await stated(file)).toMatchObject({ rotation: 0, mirrored: false });
  });

  it("has no length that the file says it does not know", async () => {
    for (const ticks of [0, 0xffffffff]) {
      expect(await stated(fileOf(mp4(mvhd(0, ticks), track("vide", STRAIGHT))))).toMatchObject({
        lasts: null,
      });
    }
  });

  it("is read from the sample clips as they were made: 4 to 7 s, upright", async () => {
    const names = readdirSync(CLIPS).filter((name) => name.endsWith(".mp4"));
    expect(names.length).toBeGreaterThan(5);
    for (const name of names) {
      const { lasts, ...rest } = await stated(join(CLIPS, name));
      expect(rest).toEqual({ container: "mov", rotation: 0, mirrored: false });
      expect(lasts).toBeGreaterThan(1);
      expect(lasts).toBeLessThan(20);
    }
  });

  it("is nothing for a damaged header, one without end, and a file that is not there", async () => {
    const whole = mp4(mvhd(0, 600), track("vide", [0, 1, -1, 0]));
    for (let cut = 0; cut < whole.length; cut += 7)
      expect((await stated(fileOf(whole.subarray(0, cut)))).lasts).toSatisfy((l) => l === null || l === 1);
    for (let at = 0; at < whole.length; at += 3) {
      const bent = Buffer.from(whole);
      bent[at] = 255 - bent[at]!;
      expect([0, 90, 180, 270]).toContain((await stated(fileOf(bent))).rotation);
    }
    const endless = Buffer.concat([box("ftyp"), ...Array.from({ length: 20_000 }, () => box("free"))]);
    expect(await stated(fileOf(endless))).toEqual({ ...NOTHING_STATED, container: "mov" });
    expect(await stated("/no/such/clip.mp4")).toEqual(NOTHING_STATED);
    expect(await stated(fileOf(Buffer.alloc(0)))).toEqual(NOTHING_STATED);
    expect(await stated(temporaryFolder())).toEqual(NOTHING_STATED);
  });

  it("knows a container by its first bytes, whatever its name", () => {
    const head = (...parts: (string | number[])[]) =>
      Buffer.concat([...parts.map((part) => Buffer.from(part as string, "latin1")), Buffer.alloc(1024)]);
    expect(containerOf(head([0, 0, 0, 20], "ftypqt  "))).toBe("mov");
    expect(containerOf(head([0, 0, 0, 8], "wide"))).toBe("mov");
    expect(containerOf(head([0x1a, 0x45, 0xdf, 0xa3]))).toBe("matroska");
    expect(containerOf(head("RIFF\u0000\u0000\u0000\u0000AVI LIST"))).toBe("avi");
    expect(containerOf(head("RIFF\u0000\u0000\u0000\u0000WAVE"))).toBe("other");
    const packets = Buffer.alloc(1024);
    for (let at = 0; at < 1024; at += 188) packets[at] = 0x47;
    expect(containerOf(packets)).toBe("mpegts");
    packets[376] = 0;
    expect(containerOf(packets)).toBe("other");
    expect(containerOf(Buffer.from("#EXTM3U\n"))).toBe("other");
    expect(containerOf(Buffer.from("ffconcat version 1.0"))).toBe("other");
  });

  it("reads how long Matroska says it lasts", async () => {
    // RFC 8794: identifier, length (one byte with its highest bit set), content. 1500 ticks of 2 ms.
    const element = (id: number[], ...parts: Buffer[]) => {
      const content = Buffer.concat(parts);
      return Buffer.concat([Buffer.from([...id, 0x80 | content.length]), content]);
    };
    const ticks = Buffer.alloc(8);
    ticks.writeDoubleBE(1500);
    const info = element(
      [0x15, 0x49, 0xa9, 0x66],
      element([0x2a, 0xd7, 0xb1], Buffer.from([0x1e, 0x84, 0x80])),
      element([0x44, 0x89], ticks),
    );
    const file = fileOf(
      Buffer.concat([
        element([0x1a, 0x45, 0xdf, 0xa3], Buffer.alloc(4)),
        element([0x18, 0x53, 0x80, 0x67], element([0xec], Buffer.alloc(3)), info),
      ]),
    );
    expect(await stated(file)).toEqual({ ...NOTHING_STATED, container: "matroska", lasts: 3 });
  });
});
