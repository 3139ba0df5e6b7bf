import { describe, expect, it } from "vitest";
import type { Packet } from "../../electron/clip/ffmpeg/listPackets.ts";
import type { Container } from "../../electron/clip/ffmpeg/stated.ts";
import { planOf, startBefore } from "../../electron/clip/jobs/packetPlan.ts";

const FACTS = { container: "mov" as Container, codec: "h264", interlaced: false };
const IDR = Uint8Array.of(0, 0, 0, 2, 0x65, 0x88);
const OTHER = Uint8Array.of(0, 0, 0, 2, 0x61, 0x88);
const packet = (pts: number | null, more: Partial<Packet> = {}): Packet => ({
  ...{ pts, key: false, discard: false, corrupt: false, size: 100, head: new Uint8Array() },
  ...more,
});
const key = (pts: number, head = IDR) => packet(pts, { key: true, head });
const plan = (packets: readonly Packet[], facts: Partial<typeof FACTS> = {}, problems: string[] = []) =>
  planOf({
    ...{ packets, timebase: { num: 1, den: 30 }, ...FACTS, ...facts },
    problems: problems.map((text) => ({ nearFrame: null, text })),
  });

/** In the order of the file, with B-frames: two groups of four. */
const CLOSED = [key(0), packet(3), packet(1), packet(2), key(4), packet(7), packet(5), packet(6)];

describe("what packets prove", () => {
  it("numbers pictures by their sorted times", () => {
    expect(plan(CLOSED)).toMatchObject({
      ...{ pts: [0, 1, 2, 3, 4, 5, 6, 7], why: null, counts: { shown: 8, discarded: 0, untimed: 0 } },
      starts: [
        { ordinal: 0, pts: 0 },
        { ordinal: 4, pts: 4 },
      ],
    });
  });

  it("takes no picture for a start that others before or after it reach across", () => {
    // Open group: 3 comes after the key picture 4 in the file, and is shown before it.
    const open = [key(0), packet(2), packet(1), key(4), packet(3), packet(6), packet(5)];
    expect(plan(open).starts.map((s) => s.ordinal)).toEqual([0]);
    // In H.265 such leading pictures are part of the group before, and nothing after refers across.
    const cra = Uint8Array.of(0, 0, 0, 3, 21 << 1, 1, 0);
    const hevc = open.map((p) => (p.key ? { ...p, head: cra } : p));
    expect(plan(hevc, { codec: "hevc" }).starts.map((s) => s.ordinal)).toEqual([0, 4]);
    // Before it in the file, after it on screen.
    const late = [key(0), packet(1), packet(5), key(4), packet(6)];
    expect(plan(late).starts.map((s) => s.ordinal)).toEqual([0]);
  });

  it("takes no key flag for a proof", () => {
    expect(plan(CLOSED.map((p) => (p.key ? { ...p, head: OTHER } : p))).starts).toEqual([]);
  });

  it("leaves out what an edit list hides, also as a start", () => {
    const hidden = CLOSED.map((p) => ({ ...p, discard: (p.pts ?? 0) < 6 }));
    expect(plan(hidden)).toMatchObject({ pts: [6, 7], starts: [], counts: { shown: 2, discarded: 6 } });
  });

  it.each([
    ["a missing time", [...CLOSED, packet(null)], {}, [], /times are missing/],
    ["a doubled time", [...CLOSED, packet(5)], {}, [], /times are doubled/],
    ["a corrupt packet", [...CLOSED, packet(8, { corrupt: true })], {}, [], /damaged/],
    ["an empty packet", [...CLOSED, packet(8, { size: 0 })], {}, [], /damaged/],
    ["a complaint of the reader", CLOSED, {}, ["moov atom not found"], /damaged/],
    ["AVI", CLOSED, { container: "avi" as const }, [], /avi files do not say/],
    ["interlace", CLOSED, { interlaced: true }, [], /two fields/],
    ["nothing", [], {}, [], /no packets/],
  ])("proves nothing with %s", (_, packets, facts, problems, why) => {
    expect(plan(packets, facts, problems)).toMatchObject({
      pts: null,
      starts: [],
      why: expect.stringMatching(why),
    });
  });

  it("counts pictures without a time also where it proves nothing", () => {
    expect(plan([...CLOSED, packet(null), packet(null)]).counts).toEqual({
      shown: null,
      discarded: 0,
      untimed: 2,
      codec: "h264",
    });
  });

  it("begins at the last start at or before a frame", () => {
    const { starts } = plan(CLOSED);
    const before = (n: number) => startBefore({ ...plan(CLOSED), starts }, n)?.ordinal;
    expect([0, 3, 4, 7, 99].map(before)).toEqual([0, 0, 4, 4, 4]);
    expect(startBefore({ ...plan(CLOSED), starts: [] }, 5)).toBeNull();
  });
});
