import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { ClipLink, Study } from "../../src/study/types.ts";
import { FFMPEG, H264, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

const folder = sharedFolder();
let film = "";
beforeAll(async () => {
  film = await paintedClip({
    file: join(folder, "run.mp4"),
    frames: 30,
    width: 480,
    height: 320,
    fps: 30,
    args: H264,
  });
});

type Host = Awaited<ReturnType<typeof testHost>>;
const add = (host: Host, name: string, body: Uint8Array<ArrayBuffer> | string) =>
  host.get(`/api/clips?name=${name}`, { method: "POST", body });
const bytesOf = (file: string) => new Uint8Array(readFileSync(file));

describe("a clip that is added", () => {
  it("is refused at once, with what is wrong, when it is no film; nothing of it stays", async () => {
    const study = studyFolder();
    const host = await testHost(study);
    const sound = join(folder, "sound.m4a");
    execFileSync(FFMPEG, ["-v", "error", "-y", "-f", "lavfi", "-i", "sine=duration=1", "-c:a", "aac", sound]);
    const cut = join(folder, "cut.mp4");
    // Its index stands at its end.
    writeFileSync(cut, readFileSync(film));
    truncateSync(cut, 900);
    for (const [name, body, code, words] of [
      [
        "notes.mp4",
        "skater;time\nAino;4,87\n".repeat(50),
        "clip-not-video",
        /"notes.mp4" is not a video file/,
      ],
      ["sound.m4a", bytesOf(sound), "clip-no-picture", /has no picture/],
      ["cut.mp4", bytesOf(cut), "clip-incomplete", /is incomplete/],
    ] as const) {
      const answer = await add(host, name, body);
      expect([name, answer.status]).toEqual([name, 400]);
      const said = (await answer.json()) as { code: string; error: string };
      expect(said.code).toBe(code);
      expect(said.error).toMatch(words);
      expect(readdirSync(join(study, "clips"))).toEqual([]);
    }
    expect((await add(host, "run.mp4", bytesOf(film))).status).toBe(201);
  });

  it("is kept once when it is added twice, for two trials; not where the one that is there was spoilt", async () => {
    const study = studyFolder();
    const host = await testHost(study);
    const links: ClipLink[] = [];
    for (const name of ["run.mp4", "again.mp4"])
      links.push((await (await add(host, name, bytesOf(film))).json()) as ClipLink);
    const [one, two] = links as [ClipLink, ClipLink];
    expect(two).toMatchObject({ name: "again.mp4", path: one.path, sha256: one.sha256, bytes: one.bytes });
    expect(two.id).not.toBe(one.id);
    expect(readdirSync(join(study, "clips"))).toEqual(["run.mp4"]);
    const whole = (await (await host.get("/api/study")).json()).study as Study;
    expect((await host.putJson("/api/study", { ...whole, clips: links })).status).toBe(200);
    for (const { id } of links)
      expect(await host.until(id, ended)).toMatchObject({ state: "ready", count: 30 });

    const there = join(study, one.path);
    const spoilt = readFileSync(there);
    spoilt.fill(0, spoilt.length >> 1);
    writeFileSync(there, spoilt);
    const third = (await (await add(host, "third.mp4", bytesOf(film))).json()) as ClipLink;
    expect(third.path).not.toBe(one.path);
    expect(readFileSync(join(study, third.path)).equals(readFileSync(film))).toBe(true);
  });

  it("is kept, each under an id of its own, when ten of one name are added at once, half of them alike", async () => {
    const study = studyFolder();
    const { get } = await testHost(study);
    const ten = Array.from({ length: 10 }, (_, i) => i);
    // A box that nobody reads (ISO/IEC 14496-12, "free") makes five contents of one film.
    const box = (i: number) =>
      Buffer.concat([Buffer.from([0, 0, 0, 9]), Buffer.from("free"), Buffer.from([i])]);
    const body = (i: number) => new Uint8Array(Buffer.concat([readFileSync(film), box(i)]));
    const post = (i: number, path = "clips") =>
      get(`/api/${path}?name=round.mp4`, { method: "POST", body: body(i) });
    const answers = await Promise.all(ten.map((i) => post(i % 5)));
    expect(answers.map((a) => a.status)).toEqual(ten.map(() => 201));
    const links: ClipLink[] = await Promise.all(answers.map((a) => a.json()));
    expect(links.map((l) => readFileSync(join(study, l.path)).at(-1))).toEqual(ten.map((i) => i % 5));
    expect(new Set(links.map((l) => l.id)).size).toBe(ten.length);
    // Nothing is left that no link leads to.
    expect(readdirSync(join(study, "clips")).sort()).toEqual(
      [...new Set(links.map((l) => l.path.replace("clips/", "")))].sort(),
    );

    // The same file chosen again for one of them, by many presses.
    const again = await Promise.all(ten.map((i) => post(i, `clips/${links[0]!.id}/file`)));
    for (const answer of again) {
      const { link } = (await answer.json()) as { link: ClipLink };
      expect(
        createHash("sha256")
          .update(readFileSync(join(study, link.path)))
          .digest("hex"),
      ).toBe(link.sha256);
    }
    for (const name of readdirSync(join(study, "clips"))) expect(name).toMatch(/^round( \d+)?\.mp4$/);
  });
});
