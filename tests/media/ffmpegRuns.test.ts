import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { runFfmpeg } from "../../electron/clip/ffmpeg/runFfmpeg.ts";
import { Preparation } from "../../electron/clip/jobs/preparation.ts";
import { prepareClip } from "../../electron/clip/jobs/prepareClip.ts";
import { FrameStore } from "../../electron/clip/store/frameStore.ts";
import { type Disk, realDisk } from "../../electron/disk/disk.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { range } from "../helpers/clipKinds.ts";
import { letterbox } from "../helpers/letterbox.ts";
import { FFMPEG, H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { like, MP4, program } from "./likeFfmpeg.ts";

const folder = sharedFolder();
let clip = "";
let long = "";
beforeAll(async () => {
  const size = { width: 192, height: 128, fps: 30, args: [...H264, "-bf", "2", "-g", "30"] };
  clip = await paintedClip({ file: join(folder, "clip.mp4"), frames: 60, ...size });
  long = await paintedClip({ file: join(folder, "long.mp4"), frames: 3000, ...size });
});

const alive = (pid: number) => {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
};
const gone = async (pid: number) => {
  for (let i = 0; i < 20_000 && alive(pid); i++) await new Promise((resolve) => setTimeout(resolve, 10));
  return !alive(pid);
};

describe("what is handed to ffmpeg", () => {
  it.each(["-version", "http://example.org/a.mp4", "concat:a|b", "a b\n'c'.mp4", "$(id).mp4"])(
    "hands over %j as a file's name, and nothing else",
    async (name) => {
      const said = letterbox();
      const path = program(`for a in "$@"; do printf '%s\\0' "$a"; done > '${said.path}'`);
      const run = runFfmpeg(like(path), {
        ...MP4,
        file: `/clips/${name}`,
        output: ["-f", "null", "-"],
        onFrame: () => undefined,
      });
      run.output.resume();
      await run.ended;
      const given = said.text().split("\0").slice(0, -1);
      expect(given.filter((a) => a.includes(name))).toEqual([`file:/clips/${name}`]);
      expect(given[given.indexOf(`file:/clips/${name}`) - 1]).toBe("-i");
      // No network, no playlists: only what is a file or a pipe may be opened.
      expect(given[given.indexOf("-protocol_whitelist") + 1]).toBe("file,pipe");
      expect(given[given.indexOf("-format_whitelist") + 1]).not.toMatch(
        /concat|hls|dash|image2|lavfi|rtsp|sdp/,
      );
    },
  );
});

describe("ffmpeg that goes wrong", () => {
  const wait = async (preparation: Preparation, is: (index: ClipIndex) => boolean) => {
    for (const end = Date.now() + 300_000; Date.now() < end; ) {
      const index = await preparation.index(source());
      if (is(index)) return index;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    throw new Error(JSON.stringify(await preparation.index(source())).slice(0, 400));
  };
  let file = "";
  const source = () => ({ clip: "c", file, bytes: 0, sha256: null, part: null, studyFolder: folder });
  const over = (i: ClipIndex) => i.state === "ready" || i.state === "failed";

  it("says how to get a program that is not there", async () => {
    const run = runFfmpeg(like("/no/such/ffmpeg"), {
      ...MP4,
      file: clip,
      output: [],
      onFrame: () => undefined,
    });
    await expect(run.ended).rejects.toMatchObject({
      code: "no-ffmpeg",
      coach: expect.stringMatching(/Install ffmpeg/),
    });
    file = clip;
    const preparation = new Preparation(temporaryFolder(), () =>
      findFfmpeg([{ origin: "system", path: "/no/such" }]),
    );
    await preparation.follow([source()]);
    expect(await wait(preparation, over)).toMatchObject({
      ...{ state: "failed", failureCode: "no-ffmpeg", failure: expect.stringMatching(/none was found/) },
    });
    await preparation.close();
  });

  it("keeps what is ready when the run is killed by something else, says so, and goes on when asked", async () => {
    file = long;
    const pids = letterbox();
    // The same ffmpeg under another name, that writes down its own id.
    const path = program(`echo $$ >> '${pids.path}'; exec ${FFMPEG} "$@"`);
    const real = await findFfmpeg([{ origin: "system", path: FFMPEG }]);
    const preparation = new Preparation(temporaryFolder(), async () => ({ ...real, path, cage: "none" }));
    await preparation.follow([source()]);
    // A long film waits to be told what of it matters.
    await preparation.first(source());
    await wait(preparation, (i) => i.ready > 20);
    // The first it started decodes; a second lists packets.
    const [pid = 0] = pids.text().trim().split("\n").map(Number);
    process.kill(pid, "SIGKILL");
    const killed = await wait(preparation, over);
    expect(killed).toMatchObject({ state: "failed", failureCode: "ffmpeg-killed" });
    expect(killed.failure).toMatch(/Frames that are ready stay usable/);
    expect(killed.ready).toBeGreaterThan(20);
    const frame = await preparation.frame(source(), 20);
    expect(frame.kind === "frame" && numbersIn([frame.jpeg], 192, 128)).toEqual([20]);
    await preparation.first(source());
    expect(await wait(preparation, over)).toMatchObject({ state: "ready", ready: 3000, warnings: [] });
    await preparation.close();
    for (const one of pids.text().trim().split("\n")) expect(await gone(Number(one))).toBe(true);
  });

  it("ends a run that hangs, by its own id, and no other", async () => {
    const pids = letterbox();
    const path = program(`echo $$ >> '${pids.path}'; exec sleep 600`);
    const neighbour = runFfmpeg(like(path), { ...MP4, file: clip, output: [], onFrame: () => undefined });
    const run = runFfmpeg(like(path), {
      ...MP4,
      file: clip,
      output: [],
      onFrame: () => undefined,
      silenceMs: 1500,
    });
    await expect(run.ended).rejects.toMatchObject({ code: "ffmpeg-hung" });
    const both = pids.text().trim().split("\n").map(Number);
    expect(both).toHaveLength(2);
    expect(both.filter(alive)).toHaveLength(1);
    neighbour.kill();
    expect((await neighbour.ended).code).toBeNull();
    for (const pid of both) expect(await gone(pid)).toBe(true);
  });

  it("leaves no process behind when the host closes in the middle", async () => {
    file = long;
    const pids = letterbox();
    const path = program(`echo $$ >> '${pids.path}'; exec ${FFMPEG} "$@"`);
    const real = await findFfmpeg([{ origin: "system", path: FFMPEG }]);
    const preparation = new Preparation(temporaryFolder(), async () => ({ ...real, path, cage: "none" }));
    await preparation.follow([source()]);
    // A long film waits to be told what of it matters.
    await preparation.first(source());
    await wait(preparation, (i) => i.ready > 5);
    await preparation.close();
    for (const pid of pids.text().trim().split("\n")) expect(alive(Number(pid))).toBe(false);
  });

  it("says that the disk is full, keeps what was written, and goes on once there is room", async () => {
    const stores = temporaryFolder();
    const ffmpeg = await findFfmpeg([{ origin: "system", path: FFMPEG }]);
    const whole = await FrameStore.open(temporaryFolder(), "f".repeat(64));
    const hooks = {
      goal: () => ({ part: null, wanted: null }),
      stop: new AbortController().signal,
      redirect: () => new AbortController().signal,
      onReady: () => undefined,
    };
    await prepareClip(ffmpeg, clip, whole, hooks);
    let left = whole.bytes / 2;
    await whole.close();
    // Writes as a file system with little space left: some whole, then ENOSPC.
    const full: Disk = {
      ...realDisk(stores),
      async open(path, how) {
        const handle = await realDisk(stores).open(path, how);
        const appendFile = handle.appendFile.bind(handle);
        handle.appendFile = async (data, options) => {
          left -= Buffer.byteLength(data as Uint8Array);
          if (left < 0)
            throw Object.assign(new Error("ENOSPC: no space left on device, write"), { code: "ENOSPC" });
          return appendFile(data, options);
        };
        return handle;
      },
    };
    const store = await FrameStore.open(stores, "f".repeat(64), full);
    await expect(prepareClip(ffmpeg, clip, store, hooks)).rejects.toMatchObject({
      ...{ code: "disk-full", coach: expect.stringMatching(/disk with the study is full.*Free some space/) },
    });
    expect(store.prepared).toBeGreaterThan(0);
    expect(store.prepared).toBeLessThan(60);
    await store.close();
    const again = await FrameStore.open(stores, "f".repeat(64));
    expect(again.prepared).toBe(store.prepared);
    await prepareClip(ffmpeg, clip, again, hooks);
    const jpegs = await Promise.all(range(60).map(async (n) => (await again.picture(n))!));
    expect(numbersIn(jpegs, 192, 128)).toEqual(range(60));
    await again.close();
    expect(readdirSync(again.folder).sort()).toEqual(["clip.json", "frames.jpegs", "frames.list"]);
  });

  it("prepares a clip anew that was written to while it was prepared", async () => {
    file = join(folder, "growing.mp4");
    writeFileSync(file, readFileSync(long));
    const preparation = new Preparation(temporaryFolder());
    await preparation.follow([source()]);
    // A long film waits to be told what of it matters.
    await preparation.first(source());
    await wait(preparation, (i) => i.ready > 5);
    writeFileSync(file, readFileSync(clip));
    const index = await wait(preparation, (i) => i.state === "ready" && i.countIsExact);
    expect(index.ready).toBe(60);
    for (const n of [0, 7, 59]) {
      const frame = await preparation.frame(source(), n);
      expect(frame.kind === "frame" && numbersIn([frame.jpeg], 192, 128)).toEqual([n]);
    }
    await preparation.close();
  });
});
