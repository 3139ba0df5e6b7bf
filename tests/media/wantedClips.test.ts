import { copyFileSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeAll, describe, expect, it } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { range } from "../helpers/clipKinds.ts";
import { H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

const FRAMES = 960;
const [WIDTH, HEIGHT] = [480, 320];
const folder = sharedFolder();
let long = "";
let uncountable = "";
const small: string[] = [];
beforeAll(async () => {
  const size = { width: WIDTH, height: HEIGHT, fps: 60 };
  const args = [...H264, "-bf", "2", "-g", "60", "-sc_threshold", "0"];
  long = await paintedClip({ file: join(folder, "long.mp4"), frames: FRAMES, ...size, args });
  uncountable = await paintedClip({ file: join(folder, "long.avi"), frames: FRAMES, ...size, args });
  for (const from of [0, 100, 200])
    small.push(
      await paintedClip({ file: join(folder, `small ${from}.mp4`), frames: 40, from, ...size, args }),
    );
});
afterEach(() => {
  delete process.env.BLADEMARK_CACHE_GB;
});

type Host = Awaited<ReturnType<typeof testHost>>;
const want = async (host: Host, clip: string, frame: number) =>
  (await (await host.postJson(`/api/clips/${clip}/wanted`, { frame })).json()).reach as string;
const shows = async (host: Host, clip: string, frame: number) => {
  const answer = await host.get(`/api/clips/${clip}/frames/${frame}`);
  if (answer.status !== 200) return answer.status;
  return numbersIn([new Uint8Array(await answer.arrayBuffer())], WIDTH, HEIGHT)[0];
};

describe("what a person waits for comes first", () => {
  it("jumps to the frame that is wanted, goes on from there, and fills what it left out", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [long]));
    await host.until("clip-0", (i) => i.ready > 5);
    expect(await want(host, "clip-0", 920)).toBe("jump");
    const there = await host.until("clip-0", (i) => i.ahead.some((a) => a.from + a.times.length > 920));
    expect(there.ready).toBeLessThan(900);
    const [ahead] = there.ahead;
    // Decoded from the key frame 900, made into pictures from a few before the wanted one.
    expect(ahead!.from).toBe(905);
    expect(ahead!.times[15]).toBeCloseTo(920 / 60, 4);
    expect(await shows(host, "clip-0", 905)).toBe(905);
    expect(await shows(host, "clip-0", 920)).toBe(920);
    expect(await want(host, "clip-0", 920)).toBe("now");
    // Just before where it jumped to: what was left out after the key frame, then the group before.
    expect(["jump", "now"]).toContain(await want(host, "clip-0", 903));
    await host.until("clip-0", (i) => i.ahead.some((a) => a.from <= 903 && a.from + a.times.length > 903));
    expect(await shows(host, "clip-0", 903)).toBe(903);
    expect(["jump", "now"]).toContain(await want(host, "clip-0", 899));
    await host.until("clip-0", (i) => i.ahead.some((a) => a.from <= 899 && a.from + a.times.length > 899));
    expect(await shows(host, "clip-0", 899)).toBe(899);
    const whole = await host.until("clip-0", ended);
    expect(whole).toMatchObject({ state: "ready", ready: FRAMES, count: FRAMES, ahead: [], warnings: [] });
    const { jpegs } = await host.frames("clip-0", FRAMES);
    expect(numbersIn(jpegs, WIDTH, HEIGHT)).toEqual(range(FRAMES));
  });

  it("waits in order where no jump is provably exact, and says so", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [uncountable]));
    await host.until("clip-0", (i) => i.ready > 5);
    expect(await want(host, "clip-0", 920)).toBe("going-on");
    await host.until("clip-0", (i) => i.ready > 60);
    expect((await host.index("clip-0")).ahead).toEqual([]);
    expect(await shows(host, "clip-0", 959)).toBe(425);
  });

  it("says never for what cannot come", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [small[0]!, join(folder, "none.mp4")]));
    await host.until("clip-0", ended);
    expect(await want(host, "clip-0", 40)).toBe("never");
    expect(await want(host, "clip-0", 39)).toBe("now");
    expect(await want(host, "clip-1", 0)).toBe("never");
  });

  it("does not start again what a person stopped", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [long]));
    await host.until("clip-0", (i) => i.ready > 5);
    await host.get("/api/clips/clip-0/prepare", { method: "DELETE" });
    const stopped = await host.until("clip-0", (i) => i.queue === null);
    expect(stopped.state).toBe("stopped");
    expect(await want(host, "clip-0", 2)).toBe("now");
    expect(await want(host, "clip-0", 920)).toBe("never");
    expect((await host.index("clip-0")).state).toBe("stopped");
  });

  it("prepares the clip on screen first and the others in the background, and says how long it takes", async () => {
    const host = await testHost(studyFolder(undefined, undefined, [long, ...small]));
    const going = await host.until("clip-0", ({ progress: { of, secondsLeft } }) => {
      // While only one frame is there, nothing tells how many come.
      expect(of === 0 ? secondsLeft : FRAMES).toBe(of === 0 ? null : of);
      return secondsLeft !== null;
    });
    expect(going.queue).toBe(0);
    expect(going.progress.of).toBe(FRAMES);
    expect(going.progress.done).toBeGreaterThan(0);
    // The rate times the time left is what is left.
    const { done, of, framesPerSecond, secondsLeft } = going.progress;
    expect(framesPerSecond! * secondsLeft!).toBeCloseTo(of - done, 6);
    expect((await host.index("clip-3")).queue).toBe(3);
    await want(host, "clip-3", 0);
    await host.until("clip-3", (i) => i.queue !== 1);
    await host.until("clip-3", ended);
    expect((await host.index("clip-0")).state).not.toBe("ready");
    for (const clip of ["clip-0", "clip-1", "clip-2"]) {
      expect(await host.until(clip, ended)).toMatchObject({ state: "ready", queue: null });
    }
    expect(await shows(host, "clip-2", 7)).toBe(107);
  });
});

describe("the part that matters", () => {
  it("follows what the study says, and refuses frames outside it", async () => {
    const study = studyFolder(undefined, undefined, [long]);
    const document = JSON.parse(readFileSync(join(study, "study.json"), "utf8")) as Study;
    const withPart = (part?: { first: number; last: number }) => ({
      ...document,
      clips: document.clips.map((c) => ({ ...c, ...(part ? { part } : {}) })),
    });
    writeFileSync(join(study, "study.json"), JSON.stringify(withPart({ first: 700, last: 760 })));
    const host = await testHost(study);
    const index = await host.until("clip-0", ended);
    expect(index).toMatchObject({
      ...{ state: "ready", ready: 761, part: { first: 700, last: 760 } },
      progress: { done: 61, of: 61 },
    });
    expect(index.times).toHaveLength(761);
    for (const [n, t] of index.times.entries()) expect(t).toBeCloseTo(n / 60, 4);
    for (const n of [700, 731, 760]) expect(await shows(host, "clip-0", n)).toBe(n);
    const outside = await host.get("/api/clips/clip-0/frames/699");
    expect([outside.status, (await outside.json()).code]).toEqual([404, "outside-part"]);
    expect(await want(host, "clip-0", 699)).toBe("never");

    expect((await host.putJson("/api/study", withPart({ first: 690, last: 700 }))).status).toBe(200);
    const wider = await host.until("clip-0", (i) => i.part?.first === 690 && ended(i));
    expect(wider.progress).toMatchObject({ done: 11, of: 11 });
    expect(await shows(host, "clip-0", 690)).toBe(690);
    expect((await host.putJson("/api/study", withPart({ first: 9, last: 8 }))).status).toBe(400);
    await host.putJson("/api/study", withPart());
    const whole = await host.until("clip-0", (i) => i.part === null && ended(i));
    expect(whole).toMatchObject({ ready: FRAMES, count: FRAMES, countIsExact: true });
    expect(await shows(host, "clip-0", 733)).toBe(733);
  });
});

describe("the space for prepared frames", () => {
  const stores = (study: string) => readdirSync(join(study, "cache", "frames"));
  const clips = () =>
    small.map((file, i) => {
      const copy = join(folder, `copy ${i}.mp4`);
      copyFileSync(file, copy);
      return copy;
    });

  it("is kept: the clip used longest ago makes way for the one on screen and comes back when wanted", async () => {
    const study = studyFolder(undefined, undefined, clips());
    const first = await testHost(study);
    for (const i of [0, 1, 2]) await first.until(`clip-${i}`, ended);
    const bytes = readdirSync(join(study, "cache", "frames")).length;
    expect(bytes).toBe(3);
    await first.host.close();
    // Room for one clip and a half.
    const [name] = stores(study);
    const one = readFileSync(join(study, "cache", "frames", name!, "frames.jpegs")).length;
    for (const store of stores(study)) rmSync(join(study, "cache", "frames", store), { recursive: true });
    process.env.BLADEMARK_CACHE_GB = String((1.5 * one) / 1e9);

    const host = await testHost(study);
    for (let i = 0; i < 3; i++) {
      await want(host, `clip-${i}`, 0);
      await host.until(`clip-${i}`, (index) => index.state === "ready");
      expect(await shows(host, `clip-${i}`, 5)).toBe(100 * i + 5);
    }
    const gone = await host.index("clip-0");
    expect(gone).toMatchObject({
      state: "stopped",
      ready: 0,
      note: expect.stringMatching(/removed to make room/),
    });
    expect(stores(study).length).toBeLessThanOrEqual(2);
    await want(host, "clip-0", 3);
    await host.until("clip-0", (index) => index.state === "ready");
    expect(await shows(host, "clip-0", 3)).toBe(3);
  });

  it("is not taken from clips of this study for one that nobody waits for", async () => {
    const study = studyFolder(undefined, undefined, clips());
    process.env.BLADEMARK_CACHE_GB = "0.0000001";
    const host = await testHost(study);
    await want(host, "clip-1", 0);
    await host.until("clip-1", (i) => i.state === "ready");
    const waiting = await host.until("clip-2", (i) => i.state === "stopped");
    expect(waiting.note).toMatch(/space for prepared frames .* is used up/);
    expect(await shows(host, "clip-1", 5)).toBe(105);
  });
});
