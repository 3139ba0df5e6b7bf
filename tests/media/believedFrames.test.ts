/**
 * Prepared frames are believed only when this person's Blademark made them, of this content, with this ffmpeg, and they
 * are still what was stored. Whatever else lies in a cache is made anew, and no other picture is ever shown.
 */
import {
  chmodSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it, vi } from "vitest";
import { type Ffmpeg, findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { Preparation } from "../../electron/clip/jobs/preparation.ts";
import { prepareClip } from "../../electron/clip/jobs/prepareClip.ts";
import { ContentKeys } from "../../electron/clip/link/contentKey.ts";
import { FrameStore, storeKey } from "../../electron/clip/store/frameStore.ts";
import { machineSeal, sealBy, secretIn } from "../../electron/clip/store/seal.ts";
import { sha256 } from "../../electron/vault/places.ts";
import { range } from "../helpers/clipKinds.ts";
import { FFMPEG, H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { ended, type TestHost, testHost } from "../helpers/testHost.ts";

const FRAMES = 12;
const SIZE = { width: 192, height: 128, fps: 30, args: [...H264] };
/** Anybody has a secret of their own. */
const theirs = sealBy(Buffer.from("the secret of another machine"));

const folder = sharedFolder();
let clip = "";
/** As many frames, all of them showing other numbers. */
let other = "";
let ffmpeg: Ffmpeg;
beforeAll(async () => {
  clip = await paintedClip({ file: join(folder, "clip.mp4"), frames: FRAMES, ...SIZE });
  other = await paintedClip({ file: join(folder, "other.mp4"), frames: FRAMES, from: 100, ...SIZE });
  ffmpeg = await findFfmpeg([{ origin: "system", path: FFMPEG }]);
});

const hooks = {
  goal: () => ({ part: null, wanted: null }),
  stop: new AbortController().signal,
  redirect: () => new AbortController().signal,
  onReady: () => undefined,
};

const contentOf = (file: string) => sha256(readFileSync(file));

/** A study with the clip, whose link says which content it means. */
function study(): { at: string; stores: string } {
  const at = studyFolder(undefined, undefined, [clip]);
  const document = JSON.parse(readFileSync(join(at, "study.json"), "utf8"));
  document.clips[0].sha256 = contentOf(clip);
  writeFileSync(join(at, "study.json"), JSON.stringify(document));
  const stores = join(at, "cache", "frames");
  mkdirSync(stores, { recursive: true });
  return { at, stores };
}

async function shows(host: TestHost): Promise<number[]> {
  await host.until("clip-0", ended);
  const { jpegs } = await host.frames("clip-0", FRAMES);
  return numbersIn(jpegs, SIZE.width, SIZE.height);
}

describe("a cache that came with a study", () => {
  it("is not believed, however consistent it is", async () => {
    const { at, stores } = study();
    // The other clip's frames under the name of this one's content.
    const planted = await FrameStore.open(stores, contentOf(clip), undefined, theirs);
    await prepareClip(ffmpeg, other, planted, hooks);
    await planted.close();
    expect(planted.state).toBe("complete");
    renameSync(planted.folder, join(stores, storeKey(contentOf(clip), machineSeal())));
    const host = await testHost(at);
    expect(await shows(host)).toEqual(range(FRAMES));
  });

  it("names no content that a file does not have", async () => {
    const { at } = study();
    // The study means the other clip's content, and the cache says that this file has it.
    const document = JSON.parse(readFileSync(join(at, "study.json"), "utf8"));
    const { size, mtimeMs } = statSync(clip);
    Object.assign(document.clips[0], { sha256: contentOf(other), bytes: size });
    writeFileSync(join(at, "study.json"), JSON.stringify(document));
    const keys = new ContentKeys(join(at, "cache", "clips.json"), undefined, theirs);
    await keys.remember(clip, { bytes: size, mtimeMs }, contentOf(other));
    const host = await testHost(at);
    await host.get("/api/clips/clip-0/prepare", { method: "POST" });
    expect(await host.until("clip-0", ended)).toMatchObject({ failureCode: "clip-changed" });
  });
});

describe("a store that was made here", () => {
  it.each([
    ["is half written", (text: string) => text.slice(0, text.length / 2)],
    ["holds nothing of the clip", () => '{"format":"blademark.frame-store","state":"complete","clip":{}}'],
    ["says another number of frames", (text: string) => text.replace(/count\\":12/, 'count\\":11')],
    ["is empty", () => ""],
  ])("begins anew when what it says of the clip %s", async (_, spoil) => {
    const { at, stores } = study();
    const first = await testHost(at);
    expect(await shows(first)).toEqual(range(FRAMES));
    await first.host.close();
    const about = join(stores, readdirSync(stores)[0] as string, "clip.json");
    const text = readFileSync(about, "utf8");
    writeFileSync(about, spoil(text));
    expect(readFileSync(about, "utf8")).not.toBe(text);
    const host = await testHost(at);
    expect((await host.get("/api/clips/clip-0/index")).status).toBe(200);
    expect((await host.get("/api/clips/clip-0/frames/0")).status).not.toBe(500);
    expect(await shows(host)).toEqual(range(FRAMES));
    expect(await host.index("clip-0")).toMatchObject({ state: "ready", count: FRAMES, warnings: [] });
  });

  it.each([
    ["its list", "frames.list"],
    ["its pictures", "frames.jpegs"],
  ])("shows no wrong picture or time when one bit of %s has flipped", async (_, name) => {
    const { at, stores } = study();
    const first = await testHost(at);
    expect(await shows(first)).toEqual(range(FRAMES));
    const { times } = await first.index("clip-0");
    await first.host.close();
    const file = join(stores, readdirSync(stores)[0] as string, name);
    const bytes = readFileSync(file);
    bytes[Math.floor(bytes.length / 2)]! ^= 1;
    writeFileSync(file, bytes);
    const host = await testHost(at);
    // Whoever asks until it is there gets the right one.
    for (let n = 0; n < FRAMES; n++) {
      let answer = await host.get(`/api/clips/clip-0/frames/${n}`);
      for (const end = Date.now() + 300_000; answer.status === 425 && Date.now() < end; ) {
        await new Promise((resolve) => setTimeout(resolve, 10));
        answer = await host.get(`/api/clips/clip-0/frames/${n}`);
      }
      expect(answer.status).toBe(200);
      const jpeg = new Uint8Array(await answer.arrayBuffer());
      expect(numbersIn([jpeg], SIZE.width, SIZE.height)).toEqual([n]);
    }
    const index = await host.until("clip-0", ended);
    expect(index).toMatchObject({ state: "ready", count: FRAMES, times });
  });

  it("is made anew by another ffmpeg, under another tag", async () => {
    const cache = temporaryFolder();
    const source = {
      ...{ clip: "c", file: clip, bytes: statSync(clip).size, sha256: contentOf(clip), part: null },
      studyFolder: folder,
    };
    /** The tag of a frame once all are there and it is another than `before`. */
    const prepared = async (version: string, before = "") => {
      const preparation = new Preparation(cache, async () => ({ ...ffmpeg, version }));
      try {
        await preparation.follow([source]);
        return await vi.waitFor(
          async () => {
            const [answer, { state }] = [await preparation.frame(source, 3), await preparation.index(source)];
            if (answer.kind !== "frame" || state !== "ready" || answer.key === before)
              throw new Error(`${answer.kind}, ${state}`);
            return answer.key;
          },
          { timeout: 300_000, interval: 10 },
        );
      } finally {
        await preparation.close();
      }
    };
    const made = () => {
      const [store] = readdirSync(join(cache, "frames"));
      return statSync(join(cache, "frames", store as string, "frames.jpegs")).birthtimeMs;
    };
    const one = await prepared("one");
    const before = made();
    expect(await prepared("one")).toBe(one);
    expect(made()).toBe(before);
    expect(await prepared("two", one)).not.toBe(one);
    expect(made()).not.toBe(before);
  });
});

describe("the secret of this person", () => {
  it("is kept where nobody else can read it, and is the same the next time", () => {
    const own = join(temporaryFolder(), "own");
    const secret = secretIn(own);
    expect(secretIn(own)).toEqual(secret);
    expect(statSync(own).mode & 0o777).toBe(0o700);
    expect(statSync(join(own, "cache-key")).mode & 0o777).toBe(0o600);
    expect(secretIn(join(temporaryFolder(), "own"))).not.toEqual(secret);
  });

  it("is a new one when others may have read it, or it is cut short", () => {
    const own = temporaryFolder();
    const secret = secretIn(own);
    chmodSync(join(own, "cache-key"), 0o644);
    const next = secretIn(own);
    expect(next).not.toEqual(secret);
    writeFileSync(join(own, "cache-key"), next.slice(0, 5));
    expect(secretIn(own)).toHaveLength(32);
  });

  it("is of this run only where it cannot be kept", () => {
    const file = join(temporaryFolder(), "a file");
    writeFileSync(file, "");
    expect(secretIn(join(file, "own"))).toHaveLength(32);
  });

  it("are read while their store takes the name of its content, and none is missed", async () => {
    const stores = temporaryFolder();
    const content = contentOf(clip);
    const store = await FrameStore.open(stores, "unread-0");
    await prepareClip(ffmpeg, clip, store, hooks);
    let over = false;
    const missed: string[] = [];
    const looking = range(4).map(async (k) => {
      for (let n = k; !over; n = (n + 1) % FRAMES) {
        const jpeg = await store.picture(n).catch((error: unknown) => String(error));
        if (!(jpeg instanceof Uint8Array)) missed.push(`${n}: ${jpeg}`);
      }
    });
    for (const name of [content, sha256(Buffer.from("a")), sha256(Buffer.from("b"))]) {
      await new Promise((resume) => setTimeout(resume, 20));
      await store.becomes(stores, name);
    }
    over = true;
    await Promise.all(looking);
    expect(missed).toEqual([]);
    await store.close();
  });
});
