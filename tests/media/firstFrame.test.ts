import { createHash } from "node:crypto";
import { readdirSync, readFileSync, statSync, utimesSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import type { ClipJob } from "../../electron/clip/jobs/clipJob.ts";
import { runClip } from "../../electron/clip/jobs/clipRun.ts";
import { findClip } from "../../electron/clip/link/clipSource.ts";
import { ContentKeys } from "../../electron/clip/link/contentKey.ts";
import { Shares } from "../../electron/clip/link/networkShare.ts";
import { OpenStores } from "../../electron/clip/store/openStores.ts";
import { H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

const FRAMES = 40;
const range = Array.from({ length: FRAMES }, (_, n) => n);

const clipIn = (folder: string) =>
  paintedClip({
    ...{ file: join(folder, "clip.mp4"), frames: FRAMES, width: 480, height: 320, fps: 60 },
    args: [...H264, "-bf", "2"],
  });

/** A file so large that reading it takes as long as the test wants. */
class SlowKeys extends ContentKeys {
  #release = () => {};
  readonly #released = new Promise<void>((resolve) => {
    this.#release = resolve;
  });

  override async of(...asked: Parameters<ContentKeys["of"]>): Promise<string> {
    await this.#released;
    return super.of(...asked);
  }

  release(): void {
    this.#release();
  }
}

async function running() {
  const folder = temporaryFolder();
  const file = await clipIn(folder);
  const keys = new SlowKeys(join(folder, "clips.json"));
  const stores = new OpenStores(join(folder, "frames"));
  const shares = new Shares();
  onTestFinished(() => stores.close());
  const source = { clip: "c", file, bytes: 0, sha256: null, part: null, studyFolder: folder };
  const job: ClipJob = {
    ...{ source, found: await findClip(source, keys, shares), state: "waiting", store: null, failure: null },
    ...{ note: null, lasts: null, asksPart: false, wanted: null, run: null },
  };
  let heard = () => {};
  const all = new Promise<void>((resolve) => {
    heard = () => {
      if (job.store?.prepared === FRAMES) resolve();
    };
  });
  const run = runClip(job, {
    ...{ keys, shares, stores, closing: new AbortController().signal },
    ffmpeg: () => findFfmpeg(),
    makeRoom: async () => true,
    again: () => expect.fail("the clip is the one it is"),
    news: () => heard(),
  });
  const folders = () => readdirSync(join(folder, "frames"));
  return { file, keys, job, run, all, folders };
}

describe("the first frame of a file that was never read", () => {
  it("does not wait until all of it has been read; then the frames are that content's", async () => {
    const { file, keys, job, run, all, folders } = await running();
    await all;
    expect(job.state).toBe("preparing");
    expect(job.found.link.sha256).toBeNull();
    const pictures = async () =>
      Promise.all(range.map(async (n) => (await job.store?.picture(n)) ?? new Uint8Array()));
    expect(numbersIn(await pictures(), 480, 320)).toEqual(range);
    keys.release();
    await run;
    const sha256 = createHash("sha256").update(readFileSync(file)).digest("hex");
    expect(job).toMatchObject({ state: "ready", found: { link: { sha256 } } });
    expect(folders()).toHaveLength(1);
    expect(folders()[0]).toContain(sha256.slice(0, 32));
    expect(numbersIn(await pictures(), 480, 320)).toEqual(range);
  });

  it("is taken back when the file was written to in the meantime", async () => {
    const { file, keys, job, run, all, folders } = await running();
    await all;
    const later = statSync(file).mtimeMs / 1000 + 60;
    utimesSync(file, later, later);
    keys.release();
    await run;
    expect(job).toMatchObject({ state: "failed", failure: { code: "clip-changing" } });
    expect(job.store?.prepared).toBe(0);
    expect(folders()).toEqual([]);
  });
});

describe("an index that waits", () => {
  it("is answered with the first frame, with a later one, and when there is nothing to wait for", async () => {
    const folder = temporaryFolder();
    const host = await testHost(studyFolder(undefined, undefined, [await clipIn(folder)]));
    const index = async (until: string) => (await host.get(`/api/clips/clip-0/index?until=${until}`)).json();
    // Each answer may also come because it waited long enough.
    const untilReady = async (until: string, frame: number) => {
      let ready = 0;
      while (ready <= frame) ({ ready } = await index(until));
      return ready;
    };
    expect(await untilReady("any", 0)).toBeGreaterThan(0);
    expect(await untilReady("39", 39)).toBe(FRAMES);
    await host.until("clip-0", (i) => i.state === "ready");
    expect(await index("1000")).toMatchObject({ state: "ready", ready: FRAMES });
    expect(await index("nonsense")).toMatchObject({ state: "ready", ready: FRAMES });
  });
});
