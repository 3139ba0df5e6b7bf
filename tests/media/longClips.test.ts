import { statSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { KeyPictures } from "../../electron/clip/overview/keyPictures.ts";
import type { FramesAt } from "../../src/study/exchange.ts";
import type { Study } from "../../src/study/types.ts";
import { H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

/** 70 s at ten frames a second, a key frame every two seconds: the frame at t seconds is number 10 t. */
const [FRAMES, FPS, GOP] = [700, 10, 20];
const [WIDTH, HEIGHT] = [480, 320];
const folder = sharedFolder();
let film = "";
let avi = "";
let brief = "";
beforeAll(async () => {
  const size = { width: WIDTH, height: HEIGHT, fps: FPS };
  const args = [...H264, "-bf", "2", "-g", String(GOP), "-sc_threshold", "0"];
  film = await paintedClip({ file: join(folder, "evening.mp4"), frames: FRAMES, ...size, args });
  avi = await paintedClip({ file: join(folder, "evening.avi"), frames: FRAMES, ...size, args });
  brief = await paintedClip({ file: join(folder, "brief.mp4"), frames: 590, ...size, args });
});

type Host = Awaited<ReturnType<typeof testHost>>;
const glimpse = async (host: Host, at: number, clip = "clip-0") => {
  const answer = await host.glimpse(clip, at);
  const jpeg = new Uint8Array(await answer.arrayBuffer());
  return { n: numbersIn([jpeg], 144, 96)[0], time: Number(answer.headers.get("x-blademark-time")) };
};
const framesAt = async (host: Host, from: number, to: number, clip = "clip-0") =>
  (await (await host.get(`/api/clips/${clip}/frames-at?from=${from}&to=${to}`)).json()) as FramesAt;
const shows = async (host: Host, clip: string, frame: number) => {
  const answer = await host.get(`/api/clips/${clip}/frames/${frame}`);
  if (answer.status !== 200) return answer.status;
  return numbersIn([new Uint8Array(await answer.arrayBuffer())], WIDTH, HEIGHT)[0];
};
/** The study as the window saves it. */
async function save(host: Host, change: (study: Study) => Study) {
  const study = (await (await host.get("/api/study")).json()).study as Study;
  expect((await host.putJson("/api/study", change(study))).status).toBe(200);
}

describe("a long clip", () => {
  it("is not prepared until its part is said, and can be seen before: key frames with their own times", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [film]));
    const index = await host.until("clip-0", (i) => i.state !== "waiting");
    expect(index).toMatchObject({ state: "stopped", asksPart: true, ready: 0 });
    expect(index.lasts).toBeCloseTo(70, 1);
    // Looking at it in Measure does not begin it either.
    expect((await (await host.postJson("/api/clips/clip-0/wanted", { frame: 3 })).json()).reach).toBe(
      "never",
    );
    for (const [at, n] of [
      [0, 0],
      [1.9, 0],
      [33.3, 320],
      [69.5, 680],
    ] as const) {
      const seen = await glimpse(host, at);
      expect(seen.n).toBe(n);
      expect(seen.time).toBeCloseTo(n / FPS, 3);
    }
    expect(await host.index("clip-0")).toMatchObject({ state: "stopped", asksPart: true, ready: 0 });
    expect((await host.get("/api/clips/clip-0/glimpse?at=-1")).status).toBe(400);
    expect((await host.get("/api/clips/clip-0/glimpse?at=many")).status).toBe(400);
  });

  it("shows a moment to who still asks, though who asked first gave up", async () => {
    const pictures = new KeyPictures(findFfmpeg, new AbortController().signal);
    const { size: bytes, mtimeMs } = statSync(film);
    const shown = { file: film, stamp: { bytes, mtimeMs }, turn: 0 } as const;
    const gone = new AbortController();
    const first = pictures.at(shown, 0, gone.signal).catch(() => null);
    const second = pictures.at(shown, 0, new AbortController().signal);
    gone.abort();
    expect(await first).toBeNull();
    expect(numbersIn([new Uint8Array((await second)!.jpeg)], 144, 96)).toEqual([0]);
  });

  it("tells which frames are shown from one moment to another", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [film, avi]));
    expect(await framesAt(host, 41, 47)).toEqual({ first: 410, last: 470, exact: true });
    expect(await framesAt(host, 41.04, 41.06)).toEqual({ first: 411, last: 411, exact: true });
    expect(await framesAt(host, 0, 1e5)).toEqual({ first: 0, last: FRAMES - 1, exact: true });
    expect((await host.get("/api/clips/clip-0/frames-at?from=5&to=4")).status).toBe(400);
    // An AVI does not say each frame's time: by its even rate, and said so.
    expect(await framesAt(host, 41, 47, "clip-1")).toEqual({ first: 410, last: 470, exact: false });
  });

  it("is prepared in the part that is said and nowhere else, under its own frame numbers", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [film]));
    await host.until("clip-0", (i) => i.asksPart);
    await save(host, (s) => ({
      ...s,
      clips: s.clips.map((c) => ({ ...c, part: { first: 410, last: 470 } })),
    }));
    const index = await host.until("clip-0", ended);
    expect(index).toMatchObject({ state: "ready", asksPart: false, progress: { done: 61, of: 61 } });
    for (const n of [410, 441, 470]) expect(await shows(host, "clip-0", n)).toBe(n);
    for (const n of [0, 409, 471]) expect(await shows(host, "clip-0", n)).toBe(404);
  });

  it("holds several trials: links to one file, each with its own part, prepared from one store", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [film]));
    await save(host, (s) => {
      const [link] = s.clips;
      const part = (first: number, last: number) => ({ ...link!, part: { first, last } });
      return { ...s, clips: [part(100, 130), { ...part(500, 540), id: "clip-0-part-2" }] };
    });
    await Promise.all(["clip-0", "clip-0-part-2"].map((clip) => host.until(clip, ended)));
    expect(await shows(host, "clip-0", 115)).toBe(115);
    expect(await shows(host, "clip-0-part-2", 520)).toBe(520);
    const second = await host.index("clip-0-part-2");
    expect(second.progress).toMatchObject({ done: 41, of: 41 });
    expect(second.times[520]).toBeCloseTo(52, 3);
  });

  it("is prepared whole when that is asked for; a clip of under a minute always is", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [film, brief]));
    await host.until("clip-1", ended);
    expect(await host.index("clip-1")).toMatchObject({ state: "ready", asksPart: false, count: 590 });
    expect(await host.index("clip-0")).toMatchObject({ asksPart: true, ready: 0 });
    await host.get("/api/clips/clip-0/prepare", { method: "POST" });
    expect(await host.until("clip-0", ended)).toMatchObject({ state: "ready", count: FRAMES });
  });
});
