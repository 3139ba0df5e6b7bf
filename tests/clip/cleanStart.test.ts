import { describe, expect, it } from "vitest";
import { isCleanStart } from "../../electron/clip/jobs/cleanStart.ts";

/** Units behind start codes (H.264 annex B) and behind their lengths (ISO/IEC 14496-15, 5.3). */
const startCodes = (...units: number[][]) => Uint8Array.from(units.flatMap((u) => [0, 0, 0, 1, ...u]));
const lengths = (...units: number[][]) => Uint8Array.from(units.flatMap((u) => [0, 0, 0, u.length, ...u]));

describe("where decoding may begin", () => {
  // H.264 table 7-1: 9 access unit delimiter, 7 and 8 parameter sets, 6 SEI, 5 IDR, 1 another slice; nal_ref_idc 3.
  const [AUD, SPS, PPS, SEI, IDR, SLICE] = [0x09, 0x67, 0x68, 0x06, 0x65, 0x61];
  it.each([
    [
      "an IDR picture",
      [
        [AUD, 0x10],
        [SPS, 1],
        [PPS, 1],
        [SEI, 5, 0],
        [IDR, 0x88],
      ],
      true,
    ],
    // A recovery point (SEI payload 6) with a slice of another kind: periodic refresh and open groups.
    [
      "a recovery point",
      [
        [AUD, 0x10],
        [SPS, 1],
        [PPS, 1],
        [SEI, 6, 1, 0x98],
        [SLICE, 0x9a],
      ],
      false,
    ],
    ["an ordinary picture", [[SLICE, 0x9a]], false],
    [
      "parameter sets only",
      [
        [SPS, 1],
        [PPS, 1],
      ],
      false,
    ],
  ])("H.264: %s", (_, units, clean) => {
    expect(isCleanStart("h264", "start-codes", startCodes(...units))).toBe(clean);
    expect(isCleanStart("h264", "length-prefixed", lengths(...units))).toBe(clean);
  });

  // H.265 table 7-1: type in bits 1 to 6 of the first byte. 32 to 34 parameter sets, 39 SEI.
  const unit = (type: number) => [type << 1, 1, 0xaf];
  it.each([
    [19, true],
    [20, true],
    [21, true],
    [0, false],
    [1, false],
    [9, false],
    // BLA: what follows may refer to pictures that were cut away.
    [16, false],
    [18, false],
  ])("H.265: unit type %d, after parameter sets", (type, clean) => {
    const units = [32, 33, 34, 39, type].map(unit);
    expect(isCleanStart("hevc", "length-prefixed", lengths(...units))).toBe(clean);
    expect(isCleanStart("hevc", "start-codes", startCodes(...units))).toBe(clean);
  });

  // VP9 specification 6.2: frame_marker 10, profile low and high bit, (reserved in profile 3), show_existing, frame_type.
  it.each([
    ["profile 0, key", 0b1000_0010, true],
    ["profile 0, not key", 0b1000_0110, false],
    ["profile 0, a frame shown again", 0b1000_1000, false],
    ["profile 2, key", 0b1001_0010, true],
    ["profile 3, key", 0b1011_0001, true],
    ["profile 3, not key", 0b1011_0011, false],
    ["no marker", 0b0100_0010, false],
  ])("VP9: %s", (_, first, clean) => {
    expect(isCleanStart("vp9", "length-prefixed", Uint8Array.of(first, 0x49, 0x83, 0x42))).toBe(clean);
  });

  // RFC 6386, 9.1: the lowest bit of the first byte is 0 for key frames.
  it("VP8: by the first bit", () => {
    expect(isCleanStart("vp8", "length-prefixed", Uint8Array.of(0x50, 0, 0))).toBe(true);
    expect(isCleanStart("vp8", "length-prefixed", Uint8Array.of(0x51, 0, 0))).toBe(false);
    expect(isCleanStart("vp8", "length-prefixed", new Uint8Array())).toBe(false);
  });

  // AV1 specification 5.3.2: type in bits 3 to 6, has_size bit 1; 1 sequence header, 2 temporal delimiter, 6 frame, 3
  // frame header, 5 metadata. 5.9.2: show_existing_frame 1 bit, frame_type 2 bits (0 = key), show_frame 1 bit.
  const obu = (type: number, ...content: number[]) => [(type << 3) | 2, content.length, ...content];
  it.each([
    ["a shown key frame after a sequence header", [obu(2), obu(1, 0x00, 0x10), obu(6, 0b0001_0000)], true],
    ["with metadata between", [obu(1, 0x00), obu(5, 1, 2, 3), obu(3, 0b0001_0000)], true],
    ["a key frame that is not shown", [obu(1, 0x00), obu(6, 0b0000_0000)], false],
    ["an intra-only frame", [obu(1, 0x00), obu(6, 0b0101_0000)], false],
    ["a frame shown again", [obu(1, 0x00), obu(3, 0b1000_0000)], false],
    ["no sequence header", [obu(6, 0b0001_0000)], false],
    ["a still picture's short header", [obu(1, 0b0001_1000), obu(6, 0b0001_0000)], false],
    ["a unit of unknown length", [[0x08, 0, 0]], false],
    ["nothing", [], false],
  ])("AV1: %s", (_, units, clean) => {
    expect(isCleanStart("av1", "length-prefixed", Uint8Array.from(units.flat()))).toBe(clean);
  });

  it("takes any picture of a codec of which each stands alone, and none of an unknown codec", () => {
    expect(isCleanStart("mjpeg", "length-prefixed", Uint8Array.of(0xff, 0xd8))).toBe(true);
    expect(isCleanStart("mpeg4", "length-prefixed", Uint8Array.of(0, 0, 1, 0xb6))).toBe(false);
  });
});
