import { createHash } from "node:crypto";
import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join, relative } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { range } from "../helpers/clipKinds.ts";
import { numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { STUDY, sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

const SIZE = { width: 192, height: 128, fps: 30 };
const folder = sharedFolder();
let one = "";
let other = "";
beforeAll(async () => {
  one = await paintedClip({ file: join(folder, "one.mp4"), frames: 40, ...SIZE });
  other = await paintedClip({ file: join(folder, "other.mp4"), frames: 30, from: 500, ...SIZE });
});

const sha = (file: string) => createHash("sha256").update(readFileSync(file)).digest("hex");

/** A content of its own, so that nothing else on this machine can be taken for it. */
let unique = 0;
function ownCopy(of: string, to: string): string {
  const box = Buffer.from([0, 0, 0, 12, ...Buffer.from("free"), ...Buffer.alloc(4)]);
  box.writeUInt32BE(process.pid * 1000 + unique++, 8);
  writeFileSync(to, Buffer.concat([readFileSync(of), box]));
  return to;
}

/** A study in a folder of its own with one clip beside it, known by its content. */
function studyWithClip(name = "take 1.mp4"): { study: string; file: string; sha256: string } {
  const study = studyFolder();
  mkdirSync(join(study, "clips"));
  const file = ownCopy(one, join(study, "clips", name));
  const link = { id: "c", name, path: `clips/${name}`, bytes: statSync(file).size, sha256: sha(file) };
  writeFileSync(join(study, "study.json"), JSON.stringify({ ...STUDY, clips: [link] }));
  return { study, file, sha256: link.sha256 };
}

const savedStudy = (study: string) => JSON.parse(readFileSync(join(study, "study.json"), "utf8")) as Study;

describe("clips that were moved, renamed or changed", () => {
  it("finds a renamed and moved clip by its content, uses it, and keeps the new place once confirmed", async () => {
    const { study, file, sha256 } = studyWithClip();
    mkdirSync(join(study, "evening", "phone"), { recursive: true });
    const moved = join(study, "evening", "phone", "IMG 0001.mov");
    renameSync(file, moved);
    // Another clip of the same size is no reason to take it.
    const decoy = readFileSync(moved);
    decoy[decoy.length - 1] = decoy[decoy.length - 1]! ^ 1;
    writeFileSync(join(study, "clips", "decoy.mp4"), decoy);

    const host = await testHost(study);
    const index = await host.until("c", ended);
    expect(index).toMatchObject({
      ...{ state: "ready", ready: 40, failure: null },
      link: { state: "moved", path: "evening/phone/IMG 0001.mov", sha256 },
    });
    expect(index.link.text).toMatch(/"take 1\.mp4" is not where it was.*IMG 0001\.mov/);
    expect(numbersIn((await host.frames("c", 40)).jpegs, 192, 128)).toEqual(range(40));

    const link = await (await host.postJson("/api/clips/c/link", { sha256 })).json();
    expect(link).toMatchObject({ id: "c", name: "take 1.mp4", path: "evening/phone/IMG 0001.mov", sha256 });
    expect(await host.until("c", ended)).toMatchObject({ state: "ready", link: { state: "as-it-was" } });
    expect((await host.putJson("/api/study", { ...savedStudy(study), clips: [link] })).status).toBe(200);
    expect(savedStudy(study).clips[0]?.path).toBe("evening/phone/IMG 0001.mov");
    await host.host.close();
    const again = await testHost(study);
    expect(await again.until("c", ended)).toMatchObject({ state: "ready", link: { state: "as-it-was" } });
  });

  it("may save a new place outside the study only after it was confirmed", async () => {
    const outside = mkdtempSync(join(folder, "card "));
    const file = ownCopy(one, join(outside, "0001.mp4"));
    const study = studyFolder();
    const link = {
      id: "c",
      name: "0001.mp4",
      path: relative(study, file),
      bytes: statSync(file).size,
      sha256: sha(file),
    };
    const document = { ...STUDY, clips: [link] };
    writeFileSync(join(study, "study.json"), JSON.stringify(document));
    renameSync(file, join(outside, "0002.mp4"));
    const moved = { ...document, clips: [{ ...link, path: relative(study, join(outside, "0002.mp4")) }] };
    const host = await testHost(study);
    expect(await host.until("c", ended)).toMatchObject({ state: "ready", link: { state: "moved" } });
    const refused = await host.putJson("/api/study", moved);
    expect([refused.status, (await refused.json()).code]).toEqual([400, "foreign-path"]);
    expect((await host.postJson("/api/clips/c/link", { sha256: link.sha256 })).status).toBe(200);
    expect((await host.putJson("/api/study", moved)).status).toBe(200);
    expect(await host.until("c", ended)).toMatchObject({ state: "ready", link: { state: "as-it-was" } });
  });

  it("shows what was prepared of a missing clip, says so, and finds it when it is back", async () => {
    const { study, file } = studyWithClip();
    const first = await testHost(study);
    await first.until("c", ended);
    await first.host.close();
    const away = join(study, "marks", "a", "b", "c", "far away.mp4");
    mkdirSync(join(study, "marks", "a", "b", "c"), { recursive: true });
    renameSync(file, away);

    const host = await testHost(study);
    const index = await host.until("c", ended);
    expect(index).toMatchObject({ state: "ready", ready: 40, link: { state: "missing", path: null } });
    expect(index.warnings[0]).toMatchObject({
      code: "clip-missing",
      text: expect.stringMatching(/"take 1\.mp4" is not where it was.*can still be used/),
    });
    expect(numbersIn((await host.frames("c", 40)).jpegs, 192, 128)).toEqual(range(40));
    expect(await (await host.get("/api/clips/c/look", { method: "POST" })).json()).toMatchObject({
      state: "missing",
    });
    renameSync(away, join(study, "found.mp4"));
    expect(await (await host.get("/api/clips/c/look", { method: "POST" })).json()).toMatchObject({
      ...{ state: "moved", path: "found.mp4" },
    });
    expect((await host.until("c", ended)).warnings).toEqual([]);
  });

  it("fails a missing clip of which nothing was prepared, naming it", async () => {
    const { study, file } = studyWithClip();
    rmSync(file);
    const host = await testHost(study);
    expect(await host.until("c", ended)).toMatchObject({
      ...{ state: "failed", failureCode: "clip-missing", ready: 0, link: { state: "missing" } },
      failure: expect.stringMatching(/"take 1\.mp4" is not where it was/),
    });
  });

  it.each([
    ["another size", () => readFileSync(other), /it has 0\.\d+ MB, the clip had 0\.\d+ MB/],
    [
      "the same size",
      (before: Buffer) => {
        const bytes = Buffer.from(before);
        bytes[bytes.length - 1] = bytes[bytes.length - 1]! ^ 1;
        return bytes;
      },
      /as long, but its content is another/,
    ],
  ])("refuses a clip changed to %s until a person confirms it", async (_, change, words) => {
    const { study, file, sha256 } = studyWithClip();
    writeFileSync(file, change(readFileSync(file)));
    const host = await testHost(study);
    const refused = await host.until("c", ended);
    expect(refused).toMatchObject({
      ...{ state: "failed", failureCode: "clip-changed", ready: 0 },
      link: { state: "changed", path: "clips/take 1.mp4", sha256: sha(file), bytes: statSync(file).size },
    });
    expect(refused.failure).toMatch(words);
    expect(await (await host.get("/api/clips/c/frames/0")).json()).toMatchObject({ code: "clip-failed" });
    // Neither preparing nor wanting it starts it.
    await host.get("/api/clips/c/prepare", { method: "POST" });
    expect(await (await host.postJson("/api/clips/c/wanted", { frame: 0 })).json()).toEqual({
      frame: 0,
      reach: "never",
    });
    expect((await host.index("c")).state).toBe("failed");

    const link = await (await host.postJson("/api/clips/c/link", { sha256: sha(file) })).json();
    expect(link).toMatchObject({
      id: "c",
      path: "clips/take 1.mp4",
      sha256: sha(file),
      bytes: statSync(file).size,
    });
    expect(link.sha256).not.toBe(sha256);
    const ready = await host.until("c", (i) => i.state === "ready");
    expect(ready).toMatchObject({ link: { state: "as-it-was" } });
    await host.putJson("/api/study", { ...savedStudy(study), clips: [link] });
    await host.host.close();
    expect((await (await testHost(study)).until("c", ended)).state).toBe("ready");
  });

  it("goes back to the original where a changed clip's original lies elsewhere", async () => {
    const { study, file } = studyWithClip();
    renameSync(file, join(study, "clips", "original.mp4"));
    copyFileSync(other, file);
    const host = await testHost(study);
    expect(await host.until("c", ended)).toMatchObject({
      ...{ state: "ready", ready: 40, link: { state: "moved", path: "clips/original.mp4" } },
    });
  });

  it("takes the file a person gives for a clip: the same at once, another only when confirmed", async () => {
    const { study, file, sha256 } = studyWithClip();
    const bytes = readFileSync(file);
    rmSync(file);
    const host = await testHost(study);
    await host.until("c", ended);
    const give = (body: Buffer) =>
      host.get("/api/clips/c/file?name=again.mp4", { method: "POST", body: new Uint8Array(body) });
    const wrong = await (await give(readFileSync(other))).json();
    expect(wrong).toMatchObject({ same: false, link: { id: "c", path: "clips/again.mp4" } });
    expect(await host.until("c", ended)).toMatchObject({
      ...{ state: "failed", failureCode: "clip-changed" },
      link: { state: "changed", path: "clips/again.mp4", sha256: sha(other) },
    });
    const right = await (await give(bytes)).json();
    expect(right).toMatchObject({ same: true, link: { id: "c", sha256 } });
    expect(await host.until("c", (i) => i.state === "ready")).toMatchObject({ ready: 40 });
    expect(readdirSync(join(study, "clips"))).toHaveLength(2);
  });

  it("answers requests that make no sense in words", async () => {
    const { study } = studyWithClip();
    const host = await testHost(study);
    await host.until("c", ended);
    const code = async (answer: Response) => [answer.status, (await answer.json()).code];
    expect(await code(await host.postJson("/api/clips/nobody/link", { sha256: "a".repeat(64) }))).toEqual([
      404,
      "unknown-clip",
    ]);
    expect(await code(await host.postJson("/api/clips/c/link", { sha256: "../x" }))).toEqual([
      400,
      "bad-request",
    ]);
    expect(await code(await host.postJson("/api/clips/c/link", 7))).toEqual([400, "bad-request"]);
    expect(await code(await host.postJson("/api/clips/c/wanted", { frame: -1 }))).toEqual([400, "bad-frame"]);
    expect(await code(await host.postJson("/api/clips/c/wanted", { frame: 1.5 }))).toEqual([
      400,
      "bad-frame",
    ]);
    expect(await code(await host.get("/api/clips/c/file", { method: "POST", body: "x" }))).toEqual([
      400,
      "no-name",
    ]);
    expect(await code(await host.get("/api/clips/c/wanted"))).toEqual([405, "wrong-method"]);
  });
});
