import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { type Ffmpeg, findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { nextStretch, planFor, prepareClip } from "../../electron/clip/jobs/prepareClip.ts";
import { FrameStore } from "../../electron/clip/store/frameStore.ts";
import type { ClipPart } from "../../src/study/exchange.ts";
import { clipKinds, range } from "../helpers/clipKinds.ts";
import { H264, hasEncoder, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const folder = sharedFolder();
let ffmpeg: Ffmpeg;
beforeAll(async () => {
  ffmpeg = await findFfmpeg();
});

const [FRAMES, WIDTH, HEIGHT] = [96, 192, 128];
const clip = (name: string, args: readonly string[], frames = FRAMES) =>
  paintedClip({ file: join(folder, name), frames, width: WIDTH, height: HEIGHT, fps: 30, args });
const x265 = (more: string) => [
  "-c:v",
  "libx265",
  "-preset",
  "ultrafast",
  "-x265-params",
  `log-level=none:${more}`,
];

/** Prepares into `store`; ends the run once `until` says so. */
async function prepare(
  file: string,
  store: FrameStore,
  {
    wanted = null,
    part = null,
    until,
  }: { wanted?: number | null; part?: ClipPart | null; until?: () => boolean },
) {
  const stop = new AbortController();
  return prepareClip(ffmpeg, file, store, {
    goal: () => ({ wanted, part }),
    stop: stop.signal,
    redirect: () => new AbortController().signal,
    onReady: () => until?.() && stop.abort(),
  });
}

const open = () => FrameStore.open(temporaryFolder(), "0".repeat(64));
const picture = async (store: FrameStore, n: number) => Buffer.from((await store.picture(n)) ?? []);
const pictures = (store: FrameStore, frames: readonly number[]) =>
  Promise.all(frames.map((n) => picture(store, n)));

interface Jumpable {
  readonly name: string;
  readonly make: () => Promise<string>;
  /** Where decoding may begin, from how the clip was made. */
  readonly starts: readonly number[];
  readonly needs?: string;
}

const every = (step: number, from = 0) =>
  range(Math.ceil((FRAMES - from) / step)).map((k) => from + k * step);

const JUMPABLE: Jumpable[] = [
  {
    name: "H.264 with B-frames",
    make: () => clip("b.mp4", [...H264, "-preset", "medium", "-bf", "3", "-g", "24", "-sc_threshold", "0"]),
    starts: every(24),
  },
  {
    name: "transport stream",
    make: () => clip("t.ts", [...H264, "-bf", "2", "-g", "24", "-sc_threshold", "0"]),
    starts: every(24),
  },
  {
    name: "Matroska",
    make: () => clip("m.mkv", [...H264, "-bf", "2", "-g", "24", "-sc_threshold", "0"]),
    starts: every(24),
  },
  {
    name: "fragmented",
    make: () =>
      clip("f.mp4", [
        ...H264,
        "-bf",
        "2",
        "-g",
        "24",
        "-sc_threshold",
        "0",
        "-movflags",
        "frag_keyframe+empty_moov",
      ]),
    starts: every(24),
  },
  {
    name: "HEVC with closed groups",
    make: () =>
      clip("c.mp4", [...x265("bframes=3:open-gop=0:keyint=24:min-keyint=24:scenecut=0"), "-tag:v", "hvc1"]),
    starts: every(24),
    needs: "libx265",
  },
  {
    // Its leading pictures come before it in display order and belong to the group before.
    name: "HEVC with open groups",
    make: () =>
      clip("o.mp4", [...x265("bframes=3:open-gop=1:keyint=24:min-keyint=24:scenecut=0"), "-tag:v", "hvc1"]),
    starts: every(24),
    needs: "libx265",
  },
  {
    name: "VP8",
    make: () =>
      clip("8.webm", ["-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "2M", "-g", "24"]),
    starts: every(24),
    needs: "libvpx",
  },
  {
    name: "VP9",
    make: () =>
      clip("9.webm", [
        "-c:v",
        "libvpx-vp9",
        "-deadline",
        "realtime",
        "-cpu-used",
        "8",
        "-b:v",
        "2M",
        "-g",
        "24",
      ]),
    starts: every(24),
    needs: "libvpx-vp9",
  },
  {
    name: "AV1",
    make: () =>
      clip("1.mp4", ["-c:v", "libaom-av1", "-cpu-used", "8", "-usage", "realtime", "-b:v", "2M", "-g", "24"]),
    starts: every(24),
    needs: "libaom-av1",
  },
  {
    name: "ProRes",
    make: () => clip("p.mov", ["-c:v", "prores_ks", "-profile:v", "0", "-pix_fmt", "yuv422p10le"]),
    starts: every(1),
    needs: "prores_ks",
  },
  {
    name: "MJPEG in QuickTime",
    make: () => clip("j.mov", ["-c:v", "mjpeg", "-q:v", "3", "-pix_fmt", "yuvj420p"]),
    starts: every(1),
  },
].filter(({ needs }: { needs?: string }) => !needs || hasEncoder(needs));

describe("jumping ahead of what is prepared", () => {
  it.each(JUMPABLE)("gives the very frames of a plain decode: $name", async ({ make, starts }) => {
    const file = await make();
    const plain = await open();
    await prepare(file, plain, {});
    expect(numbersIn(await pictures(plain, range(FRAMES)), WIDTH, HEIGHT)).toEqual(range(FRAMES));

    const store = await open();
    expect((await planFor(ffmpeg, file, store)).starts.map((s) => s.ordinal)).toEqual(starts);
    const wanted = 61;
    const begin = starts.findLast((s) => s <= wanted)!;
    expect(await nextStretch(ffmpeg, file, store, { part: null, wanted })).toMatchObject({
      from: begin,
      until: null,
    });
    // Ended right after the jump: frames there, none before.
    await prepare(file, store, { wanted, until: () => store.has(wanted) });
    expect(store.has(begin - 1)).toBe(false);
    const there = range(wanted - begin + 1, begin);
    expect(await pictures(store, there)).toEqual(await pictures(plain, there));
    expect(there.map((n) => store.frames[n]?.pts)).toEqual(there.map((n) => plain.frames[n]?.pts));

    // Gone on with in another session, and the gap filled.
    await store.saveState("partial");
    const again = await FrameStore.open(join(store.folder, ".."), "0".repeat(64));
    expect(again.prepared).toBe(store.prepared);
    expect(await prepare(file, again, { wanted: 30 })).toBe("complete");
    expect(again.state).toBe("complete");
    expect(again).toMatchObject({ inOrderOnly: false, renumbered: false });
    expect(again.clip).toMatchObject({ count: FRAMES, problems: [] });
    expect(await pictures(again, range(FRAMES))).toEqual(await pictures(plain, range(FRAMES)));
    expect(again.times).toEqual(plain.times);
    await Promise.all([plain.close(), store.close(), again.close()]);
  });

  const UNPROVEN = [
    "open GOP transport stream",
    "periodic refresh",
    "MJPEG in AVI",
    "H.264 in AVI with B-frames",
  ];
  const DOUBLED = ["a doubled time", "interlaced", "MPEG-2 program stream", "Matroska from before zero"];
  it.each(clipKinds(() => folder).filter((k) => [...UNPROVEN, ...DOUBLED].includes(k.name)))(
    "waits for its turn where nothing proves a jump: $name",
    async ({ make }) => {
      const file = await make();
      const store = await open();
      const { starts } = await planFor(ffmpeg, file, store);
      expect(starts.filter((s) => s.ordinal > 0)).toEqual([]);
      const stretch = await nextStretch(ffmpeg, file, store, { part: null, wanted: 40 });
      expect(stretch).toEqual({ from: 0, until: null, start: null });
    },
  );

  it("prepares only the part that matters, under the numbers and times of the whole clip", async () => {
    const file = await JUMPABLE[0]!.make();
    const plain = await open();
    await prepare(file, plain, {});
    const store = await open();
    const part = { first: 50, last: 58 };
    expect(await nextStretch(ffmpeg, file, store, { part, wanted: null })).toMatchObject({
      ...{ from: 50, until: 59, start: { ordinal: 48 } },
    });
    await prepare(file, store, { part });
    expect(store.frames.flatMap((f) => (f ? [f.ordinal] : []))).toEqual(range(9, 50));
    expect(await pictures(store, range(9, 50))).toEqual(await pictures(plain, range(9, 50)));
    expect(store.times).toEqual(plain.times.slice(0, 59));
    // Widened, then the whole clip: nothing is made twice.
    const made = await pictures(store, range(9, 50));
    await prepare(file, store, { part: { first: 45, last: 70 } });
    await prepare(file, store, {});
    expect(store.state).toBe("complete");
    expect(await pictures(store, range(9, 50))).toEqual(made);
    expect(await pictures(store, range(FRAMES))).toEqual(await pictures(plain, range(FRAMES)));
    expect(store.bytes).toBe(plain.bytes);
    await Promise.all([plain.close(), store.close()]);
  });

  it("only looks for the end when it was stopped just before it was sure of it", async () => {
    const file = await JUMPABLE[0]!.make();
    const store = await open();
    await prepare(file, store, {});
    const before = await pictures(store, range(FRAMES));
    store.clip = { ...store.clip!, count: null };
    store.state = "partial";
    await prepare(file, store, {});
    expect(store).toMatchObject({ state: "complete", inOrderOnly: false });
    expect(store.clip?.count).toBe(FRAMES);
    expect(await pictures(store, range(FRAMES))).toEqual(before);
    await store.close();
  });

  it("prepares a part also of a clip that can only be counted from its start", async () => {
    const file = await clip("part.avi", ["-c:v", "mjpeg", "-q:v", "3", "-pix_fmt", "yuvj420p"]);
    const store = await open();
    await prepare(file, store, { part: { first: 20, last: 24 } });
    expect(numbersIn(await pictures(store, range(5, 20)), WIDTH, HEIGHT)).toEqual(range(5, 20));
    expect(store.times).toEqual(range(25));
    await prepare(file, store, {});
    expect(numbersIn(await pictures(store, range(FRAMES)), WIDTH, HEIGHT)).toEqual(range(FRAMES));
    await store.close();
  });

  it("makes everything anew in one decode when a jump was not what the packets said", async () => {
    const file = await JUMPABLE[0]!.make();
    const store = await open();
    const plan = await planFor(ffmpeg, file, store);
    // As if packets had been counted that are never shown.
    (plan.pts as number[]).splice(10, 0, plan.pts![10]! - 1);
    for (const start of plan.starts)
      if (start.ordinal > 10) Object.assign(start, { ordinal: start.ordinal + 1 });
    await prepare(file, store, { wanted: 61, until: () => store.has(61) });
    expect(numbersIn(await pictures(store, [61]), WIDTH, HEIGHT)).toEqual([60]);
    await prepare(file, store, {});
    expect(store).toMatchObject({ inOrderOnly: true, renumbered: true });
    expect(store.clip?.count).toBe(FRAMES);
    expect(numbersIn(await pictures(store, range(FRAMES)), WIDTH, HEIGHT)).toEqual(range(FRAMES));
    await store.close();
  });
});
