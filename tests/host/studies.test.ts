import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { OpenStudies } from "../../electron/openStudies.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

interface Window {
  readonly origin: string;
  readonly base: string;
  readonly cookie: string;
}

async function door(study: string) {
  const outer = temporaryFolder();
  vi.stubEnv("BLADEMARK_HOME", join(outer, "home"));
  mkdirSync(join(outer, "app"));
  writeFileSync(join(outer, "app", "index.html"), "<!doctype html>");
  const studies = new OpenStudies(join(outer, "app"));
  onTestFinished(async () => {
    await studies.close();
    vi.unstubAllEnvs();
  });
  return { outer, window: await windowAt((await studies.server(study, 0)).url) };
}

/** What a browser has after its first visit. */
async function windowAt(address: string): Promise<Window> {
  const { answer, base, cookie } = await firstVisit(address);
  expect(answer.status).toBe(303);
  return { origin: new URL(address).origin, base, cookie };
}

async function go({ base, cookie }: Window, wish: unknown) {
  const answer = await fetch(`${base}api/studies`, {
    method: "POST",
    body: JSON.stringify(wish),
    headers: { cookie, "content-type": "application/json" },
  });
  return { status: answer.status, body: (await answer.json()) as { address: string; error: string } };
}

const studyAt = async ({ base, cookie }: Window) =>
  (await (await fetch(`${base}api/study`, { headers: { cookie } })).json()) as {
    folder: string;
    study: typeof STUDY;
  };

describe("going to another study", () => {
  it("opens one that is there at an address of its own, whose pass opens one window and no second", async () => {
    const [one, two] = [studyFolder(), studyFolder({ ...STUDY, question: "Another?" })];
    const { window } = await door(one);
    const { body } = await go(window, { do: "open", folder: two });
    const other = await windowAt(body.address);
    expect(other.origin).not.toBe(window.origin);
    expect(await studyAt(other)).toMatchObject({ folder: two, study: { question: "Another?" } });
    expect(await studyAt(window)).toMatchObject({ folder: one });
    expect((await fetch(body.address, { redirect: "manual" })).status).toBe(401);
    // The key of one study's window is none to another's.
    const across = await fetch(`${other.base}api/study`, { headers: { cookie: window.cookie } });
    expect(across.status).toBe(401);
    const list = await (
      await fetch(`${window.base}api/studies`, { headers: { cookie: window.cookie } })
    ).json();
    expect(list).toMatchObject({
      here: one,
      recent: [{ folder: two, question: "Another?" }, { folder: one }],
    });
    // Once more is the same study, not a second writer.
    const again = await go(window, { do: "open", folder: two });
    expect(new URL(again.body.address).origin).toBe(other.origin);
  });

  it("makes a new one and the next evening of this one, and writes over nothing", async () => {
    const { window, outer } = await door(studyFolder());
    const fresh = join(outer, "deep", "new");
    const made = await windowAt((await go(window, { do: "new", folder: fresh })).body.address);
    expect((await studyAt(made)).study.skaters).toEqual([]);
    const evening = join(outer, "second evening");
    const next = await windowAt((await go(window, { do: "next", folder: evening })).body.address);
    const { study } = await studyAt(next);
    expect(study).toMatchObject({
      question: STUDY.question,
      skaters: STUDY.skaters,
      techniques: STUDY.techniques,
    });
    expect(study.trials.every((t) => t.time === null)).toBe(true);
    const before = readFileSync(join(evening, "study.json"));
    for (const wish of ["new", "next"]) {
      const refused = await go(window, { do: wish, folder: evening });
      expect(refused.status).toBe(400);
      expect(refused.body.error).toContain("already holds something");
    }
    expect(readFileSync(join(evening, "study.json"))).toEqual(before);
  });

  it("refuses who has no key, another page, what is no whole path, no study or unknown", async () => {
    const { window, outer } = await door(studyFolder());
    const target = join(outer, "made");
    const body = JSON.stringify({ do: "new", folder: target });
    const post = (headers: Record<string, string>) =>
      fetch(`${window.base}api/studies`, {
        method: "POST",
        body,
        headers: { "content-type": "application/json", ...headers },
      });
    expect((await post({})).status).toBe(401);
    expect((await post({ cookie: window.cookie, origin: "http://elsewhere.example" })).status).toBe(403);
    expect((await post({ cookie: window.cookie, "sec-fetch-site": "cross-site" })).status).toBe(403);
    expect((await post({ cookie: window.cookie, "content-type": "text/plain" })).status).toBe(415);
    expect(existsSync(target)).toBe(false);
    for (const folder of ["made", "../made", "", "C:made", `${target}\0x`])
      expect((await go(window, { do: "new", folder })).status, JSON.stringify(folder)).toBe(400);
    expect((await go(window, { do: "open", folder: join(outer, "nowhere") })).status).toBe(400);
    expect((await go(window, { do: "open", folder: outer })).body.error).toContain("study.json");
    expect((await go(window, { do: "delete", folder: target })).status).toBe(400);
    expect(readdirSync(outer).sort()).toEqual(["app", "home"]);
  });

  it("opens a study from anybody as safely as one named on the command line: no link in it is followed", async () => {
    const { window, outer } = await door(studyFolder());
    writeFileSync(join(outer, "secret.json"), JSON.stringify({ ...STUDY, question: "secret" }));
    const foreign = join(outer, "foreign");
    mkdirSync(foreign);
    symlinkSync(join(outer, "secret.json"), join(foreign, "study.json"));
    const answer = await go(window, { do: "open", folder: foreign });
    expect(answer.status).toBe(400);
    expect(JSON.stringify(answer.body)).not.toContain("secret");
  });

  it("is one study by whatever way it is reached: a second name for its folder makes no second writer", async () => {
    const two = studyFolder();
    const { window, outer } = await door(studyFolder());
    symlinkSync(two, join(outer, "alias"));
    const first = await go(window, { do: "open", folder: two });
    const second = await go(window, { do: "open", folder: join(outer, "alias") });
    expect(new URL(second.body.address).origin).toBe(new URL(first.body.address).origin);
  });

  it("says of a folder that can't be made why, and hangs on none", async () => {
    const { window, outer } = await door(studyFolder());
    writeFileSync(join(outer, "file"), "");
    const bad = [join(outer, "file"), join(outer, "file", "below"), join(outer, "n".repeat(300))];
    // Nothing can be made there, and a recursive mkdir of Node's never ends.
    if (process.platform === "linux") bad.push("/proc/here/study");
    for (const folder of bad)
      for (const wish of ["new", "next"]) {
        const { status, body } = await go(window, { do: wish, folder });
        expect([status, body.error], folder).toEqual([400, expect.stringContaining("No study can be made")]);
      }
  });

  it("lists what can be read and leaves out what can't, whatever stands in the list", async () => {
    const one = studyFolder();
    const { window, outer } = await door(one);
    mkdirSync(join(outer, "odd", "study.json"), { recursive: true });
    const kept = join(outer, "home", "recent-studies.json");
    expect(statSync(kept).mode & 0o077).toBe(process.platform === "win32" ? statSync(kept).mode & 0o077 : 0);
    writeFileSync(kept, JSON.stringify([join(outer, "odd"), "here", "", 3, `${one}\0`, one]));
    const answer = await fetch(`${window.base}api/studies`, { headers: { cookie: window.cookie } });
    expect(await answer.json()).toMatchObject({ recent: [{ folder: one }] });
  });
});
