import {
  copyFileSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

const FRAMES = 600;
const range = (count: number) => Array.from({ length: count }, (_, n) => n);
const folder = sharedFolder();
let long = "";
let short = "";
let other = "";

beforeAll(async () => {
  const size = { width: 480, height: 320, fps: 60, args: [...H264, "-bf", "2"] };
  long = await paintedClip({ file: join(folder, "long.mp4"), frames: FRAMES, ...size });
  short = await paintedClip({ file: join(folder, "short.mp4"), frames: 40, ...size });
  other = await paintedClip({ file: join(folder, "other.mp4"), frames: 30, from: 500, ...size });
});

/** The one store of a study with one prepared clip. */
function storeOf(study: string): string {
  const stores = join(study, "cache", "frames");
  const [name, ...more] = readdirSync(stores);
  expect(more).toEqual([]);
  return join(stores, name as string);
}

describe("preparing clips", () => {
  it("shows frames that are ready while the rest is still coming, and says not yet for the others", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [long]));
    const early = await host.until("clip-0", (i) => i.ready > 5);
    expect(early.state).toBe("preparing");
    expect(early.countIsExact).toBe(false);
    // 10 s at 60 frames a second, as the container says.
    expect(early.count).toBe(FRAMES);
    const { jpegs } = await host.frames("clip-0", 5);
    expect(numbersIn(jpegs, 480, 320)).toEqual(range(5));
    const notYet = await host.get(`/api/clips/clip-0/frames/${FRAMES - 1}`);
    expect(notYet.status).toBe(425);
    expect((await notYet.json()).error).toMatch(/not ready yet/);
  });

  it("keeps what is ready when it is stopped, also after a restart, and goes on to the same frames", async () => {
    const study = studyFolder(undefined, undefined, [long]);
    const first = await testHost(study);
    await first.until("clip-0", (i) => i.ready > 30);
    expect((await first.get("/api/clips/clip-0/prepare", { method: "DELETE" })).status).toBe(204);
    const stopped = await first.until("clip-0", (i) => i.state === "stopped");
    await first.host.close();

    const second = await testHost(study);
    const reopened = await second.index("clip-0");
    expect(reopened.state).toBe("stopped");
    expect(reopened.ready).toBeGreaterThanOrEqual(stopped.ready);
    expect(reopened.ready).toBeLessThan(FRAMES);
    const kept = await second.frames("clip-0", reopened.ready);
    expect(numbersIn(kept.jpegs, 480, 320)).toEqual(range(reopened.ready));
    const made = statSync(join(storeOf(study), "frames.jpegs")).birthtimeMs;

    expect((await second.get("/api/clips/clip-0/prepare", { method: "POST" })).status).toBe(204);
    const whole = await second.until("clip-0", ended);
    expect(whole).toMatchObject({ state: "ready", ready: FRAMES, count: FRAMES, warnings: [] });
    const { jpegs } = await second.frames("clip-0", FRAMES);
    expect(numbersIn(jpegs, 480, 320)).toEqual(range(FRAMES));
    // Going on did not redo what was there.
    expect(jpegs.slice(0, reopened.ready)).toEqual(kept.jpegs);
    expect(statSync(join(storeOf(study), "frames.jpegs")).birthtimeMs).toBe(made);
    for (const [n, t] of whole.times.entries()) expect(t).toBeCloseTo(n / 60, 4);
  });

  it("goes on after it was killed in the middle of writing", async () => {
    const study = studyFolder(undefined, undefined, [long]);
    const first = await testHost(study);
    await first.until("clip-0", (i) => i.ready > 30);
    await first.host.close();
    const store = storeOf(study);
    // As if the last line and the last picture had only half reached the disk.
    const list = readFileSync(join(store, "frames.list"), "utf8");
    writeFileSync(join(store, "frames.list"), list.slice(0, -3));
    truncateSync(join(store, "frames.jpegs"), statSync(join(store, "frames.jpegs")).size - 1000);

    const second = await testHost(study);
    const whole = await second.until("clip-0", ended);
    expect(whole).toMatchObject({ state: "ready", ready: FRAMES });
    const { jpegs } = await second.frames("clip-0", FRAMES);
    expect(numbersIn(jpegs, 480, 320)).toEqual(range(FRAMES));
  });

  it("prepares the most wanted clip first and comes back to the other", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [long, short]));
    await host.until("clip-0", (i) => i.ready > 5);
    await host.get("/api/clips/clip-1/prepare", { method: "POST" });
    await host.until("clip-1", ended);
    const meanwhile = await host.index("clip-0");
    expect(meanwhile.state).not.toBe("ready");
    const whole = await host.until("clip-0", ended);
    expect(whole).toMatchObject({ state: "ready", ready: FRAMES });
    const { jpegs } = await host.frames("clip-0", FRAMES);
    expect(numbersIn(jpegs, 480, 320)).toEqual(range(FRAMES));
  });

  it("uses a complete store again after a restart, without decoding", async () => {
    const study = studyFolder(undefined, undefined, [short]);
    const first = await testHost(study);
    await first.until("clip-0", ended);
    await first.host.close();
    const made = statSync(join(storeOf(study), "frames.jpegs")).mtimeMs;
    const second = await testHost(study);
    expect(await second.index("clip-0")).toMatchObject({ state: "ready", ready: 40, countIsExact: true });
    expect(statSync(join(storeOf(study), "frames.jpegs")).mtimeMs).toBe(made);
  });

  it("uses another content only once a person has confirmed it", async () => {
    const file = join(folder, "changing.mp4");
    // With an empty box after it (ISO/IEC 14496-12, 8.1.2) it is a content that is found nowhere else.
    writeFileSync(file, Buffer.concat([readFileSync(short), Buffer.from("\0\0\0\x08free", "latin1")]));
    const study = studyFolder(undefined, undefined, [file]);
    const host = await testHost(study);
    await host.until("clip-0", ended);
    const tag = (await host.get("/api/clips/clip-0/frames/3")).headers.get("etag") as string;
    const again = await host.get("/api/clips/clip-0/frames/3", { headers: { "if-none-match": tag } });
    expect(again.status).toBe(304);

    // Touched: other time, same bytes.
    utimesSync(file, new Date(), new Date(Date.now() + 5000));
    await host.until("clip-0", ended);
    expect((await host.get("/api/clips/clip-0/frames/3")).headers.get("etag")).toBe(tag);
    expect(readdirSync(join(study, "cache", "frames"))).toHaveLength(1);

    copyFileSync(other, file);
    const refused = await host.until("clip-0", ended);
    expect(refused).toMatchObject({ state: "failed", failureCode: "clip-changed", ready: 0 });
    expect(refused.failure).toMatch(/"changing\.mp4" is not the file this study was made with/);
    expect((await host.get("/api/clips/clip-0/frames/3")).status).toBe(404);
    // Refused also after a restart.
    await host.host.close();
    const restarted = await testHost(study);
    const still = await restarted.until("clip-0", ended);
    expect(still).toMatchObject({ state: "failed", link: { state: "changed", bytes: statSync(other).size } });

    const wrong = await restarted.postJson("/api/clips/clip-0/link", { sha256: "0".repeat(64) });
    expect([wrong.status, (await wrong.json()).code]).toEqual([409, "link-differs"]);
    const answer = await restarted.postJson("/api/clips/clip-0/link", { sha256: still.link.sha256 });
    expect(await answer.json()).toMatchObject({ id: "clip-0", sha256: still.link.sha256 });
    const changed = await restarted.until("clip-0", (i) => i.state === "ready");
    const { jpegs } = await restarted.frames("clip-0", changed.ready);
    expect(numbersIn(jpegs, 480, 320)).toEqual(range(30).map((n) => n + 500));
    const stale = await restarted.get("/api/clips/clip-0/frames/3", { headers: { "if-none-match": tag } });
    expect(stale.status).toBe(200);
  });

  it("prepares one file once, however many clips are that file", async () => {
    const twin = join(folder, "twin.mp4");
    copyFileSync(short, twin);
    const study = studyFolder(undefined, undefined, [short, twin]);
    const host = await testHost(study);
    for (const clip of ["clip-0", "clip-1"]) {
      expect(await host.until(clip, ended)).toMatchObject({ state: "ready", ready: 40 });
      const { jpegs } = await host.frames(clip, 40);
      expect(numbersIn(jpegs, 480, 320)).toEqual(range(40));
    }
    storeOf(study);
  });

  it("takes a clip in as it comes, and its frames are there under the id it was given", async () => {
    const study = studyFolder();
    const host = await testHost(study);
    const bytes = readFileSync(short);
    const answer = await host.get("/api/clips?name=..%2F..%2FRunde%201%20%22schnell%22%3F.mp4", {
      method: "POST",
      body: new Uint8Array(bytes),
    });
    expect(answer.status).toBe(201);
    const link = await answer.json();
    expect(link.bytes).toBe(bytes.length);
    expect(link.path).toBe("clips/Runde 1 -schnell--.mp4");
    expect(readFileSync(join(study, link.path))).toEqual(bytes);
    await host.until(link.id, ended);
    const { jpegs } = await host.frames(link.id, 40);
    expect(numbersIn(jpegs, 480, 320)).toEqual(range(40));
  });
});
