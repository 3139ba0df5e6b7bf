import { cpSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { startServer } from "../../electron/serve.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import type { SeasonNews } from "../../src/study/exchange.ts";
import { blademark } from "../helpers/commandLine.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");

/** Three evenings of the demo without clips, open recovery slower by so much. */
function season(): string[] {
  const outer = temporaryFolder();
  return [0, 0.03, -0.02].map((slower, k) => {
    const to = join(outer, `evening ${k + 1}`);
    mkdirSync(to);
    cpSync(join(DEMO, "study.json"), join(to, "study.json"));
    const study = JSON.parse(readFileSync(join(to, "study.json"), "utf8"));
    study.clips = [];
    study.date = `2027-0${k + 1}-14`;
    for (const t of study.trials) {
      delete t.clip;
      if (t.technique === "open" && t.time !== null) t.time = Math.round(100 * (t.time + slower)) / 100;
    }
    writeFileSync(join(to, "study.json"), JSON.stringify(study));
    return to;
  });
}

async function ask(study: string, wish: object): Promise<{ status: number; news: SeasonNews }> {
  const windowDir = temporaryFolder();
  writeFileSync(join(windowDir, "index.html"), "<!doctype html>");
  const server = await startServer({ study, windowDir, port: 0 });
  onTestFinished(() => server.close());
  const { base, cookie } = await firstVisit(server.url);
  const answer = await fetch(`${base}api/season`, {
    method: "POST",
    body: JSON.stringify(wish),
    headers: {
      "content-type": "application/json",
      cookie,
    },
  });
  return { status: answer.status, news: JSON.parse((await answer.text()).trim().split("\n").at(-1)!) };
}

const QUESTION = {
  ...{ do: "pool", a: ["close recovery"], b: ["open recovery"] },
  ...{ quantity: "time_s", codes: false, looks: 1 },
};
const AS_COMMAND = ["--a", "close recovery", "--b", "open recovery"];

describe("several evenings in the window", () => {
  it("gives what the command gives, to the letter, of the techniques and of a skater", async () => {
    const folders = season();
    const { news } = await ask(folders[2]!, { ...QUESTION, folders: [...folders].reverse() });
    const command = await blademark("pool", ...folders, ...AS_COMMAND, "--json");
    expect(news).toEqual({ kind: "pooled", text: command.out.trimEnd(), notices: [] });
    const own = (await ask(folders[0]!, { do: "skater", code: "S1", folders })).news;
    const printed = await blademark("skater", "S1", ...folders, "--json");
    expect(own).toEqual({ kind: "skater", text: printed.out.trimEnd(), notices: [] });
  });

  it("refuses what can't be pooled in the command's words, and nobody's page", async () => {
    const folders = season();
    const change = (folder: string, how: (study: { lane: object }) => void) => {
      const study = JSON.parse(readFileSync(join(folder, "study.json"), "utf8"));
      how(study);
      writeFileSync(join(folder, "study.json"), JSON.stringify(study));
    };
    change(folders[0]!, (s) => Object.assign(s.lane, { start: "standing" }));
    change(folders[1]!, (s) => Object.assign(s.lane, { start: "flying" }));
    const refusals = [
      [folders, "Such times can't be pooled"],
      [[folders[0]!, join(folders[0]!, "..", "nowhere")], "There is no folder"],
      [[folders[0]!], "two studies or more"],
    ] as const;
    for (const [asked, words] of refusals) {
      const { news } = await ask(folders[0]!, { ...QUESTION, folders: asked });
      const command = await blademark("pool", ...asked, ...AS_COMMAND);
      expect(command.status).toBe(1);
      expect(news).toEqual({ kind: "failed", text: expect.stringContaining(words) });
      if (news.kind === "failed") expect(command.said).toContain(news.text);
    }
    const none = await ask(folders[0]!, { do: "skater", code: "nobody", folders });
    expect(none.news).toEqual({ kind: "failed", text: expect.stringContaining('the code "nobody"') });
    expect((await ask(folders[0]!, { ...QUESTION, folders, quantity: "luck" })).status).toBe(400);
  });

  it("reads another's study as safely as opening it: no link is followed, a path must be whole", async () => {
    const [outer, own] = [temporaryFolder(), studyFolder()];
    writeFileSync(join(outer, "secret.json"), JSON.stringify({ ...STUDY, question: "secret" }));
    mkdirSync(join(outer, "foreign"));
    symlinkSync(join(outer, "secret.json"), join(outer, "foreign", "study.json"));
    for (const folder of [join(outer, "foreign"), "foreign", "../foreign"]) {
      const { news } = await ask(own, { ...QUESTION, folders: [own, folder] });
      expect(news.kind, folder).toBe("failed");
      expect(JSON.stringify(news)).not.toContain("secret");
    }
  });

  it("forgets a skater in the evenings named and in the one that is open, having said what it touches", async () => {
    vi.stubEnv("BLADEMARK_HOME", temporaryFolder());
    onTestFinished(() => void vi.unstubAllEnvs());
    const [one, two] = season() as [string, string];
    const wish = { do: "forget", code: "S1", folders: [two, one] };
    const people = (folder: string) =>
      JSON.parse(readFileSync(join(folder, "study.json"), "utf8")).skaters.map(
        (s: { code: string }) => s.code,
      );
    const { get, postJson, putJson } = await testHost(one);
    const asked = async (given: object): Promise<SeasonNews> =>
      JSON.parse((await (await postJson("/api/season", given)).text()).trim().split("\n").at(-1)!);
    const before = await (await get("/api/study")).json();
    const command = await blademark("forget", "S1", two, one);
    const news = await asked({ ...wish, really: false });
    expect(news).toEqual({ kind: "forgotten", lines: command.out.trimEnd().split("\n"), notices: [] });
    expect([people(one), people(two)].every((codes) => codes.includes("S1"))).toBe(true);

    // Who asks while the study is shut is answered once it is open again.
    const [done, meanwhile] = await Promise.all([asked({ ...wish, really: true }), get("/api/study")]);
    expect(done).toMatchObject({ kind: "forgotten", lines: command.out.trimEnd().split("\n") });
    expect(meanwhile.status).toBe(200);
    const left = ["S2", "S3", "S4", "S5"];
    expect([people(one), people(two)]).toEqual([left, left]);
    const after = await (await get("/api/study")).json();
    expect(after.readOnly).toBe(false);
    expect(after.study.skaters).toHaveLength(4);

    // What a window from before still holds brings nobody back, nor its position the name of a trial.
    const old = { "x-blademark-window": "window-of-before", "x-blademark-run": before.run };
    const send = (path: string, body: unknown) =>
      get(path, {
        method: "PUT",
        body: JSON.stringify(body),
        headers: { "content-type": "application/json", ...old },
      });
    expect((await send("/api/study", before.study)).status).toBe(409);
    await send("/api/position", { place: "measure", trial: before.study.trials[0].id, frame: 3 });
    expect((await (await get("/api/study")).json()).position).toBeNull();
    expect((await putJson("/api/study", after.study)).status).toBe(200);
    expect(people(one)).toEqual(left);
  });

  it("forgets nowhere while another program has one of them open, and the study that is open here goes on", async () => {
    vi.stubEnv("BLADEMARK_HOME", temporaryFolder());
    onTestFinished(() => void vi.unstubAllEnvs());
    const [one, two] = season() as [string, string];
    const other = await Vault.open(two);
    onTestFinished(() => other.close());
    const { get, postJson } = await testHost(one);
    const wish = { do: "forget", code: "S1", folders: [one, two], really: true };
    const said = await (await postJson("/api/season", wish)).text();
    expect(JSON.parse(said.trim())).toEqual({
      kind: "failed",
      text: expect.stringContaining(`${two} is open`),
    });
    const after = await (await get("/api/study")).json();
    expect(after).toMatchObject({ readOnly: false, study: { skaters: { length: 5 } } });
  });

  it("says what stands in one folder, and why another one is none", async () => {
    const [one, two] = season() as [string, string];
    const { postJson } = await testHost(one);
    const looked = await postJson("/api/studies/look", { folder: `${two}/` });
    expect(await looked.json()).toMatchObject({
      ...{ folder: two, date: "2027-02-14", skaters: 5, trials: 20, timed: 20, distance: 30 },
      techniques: ["close recovery", "open recovery"],
    });
    const none = await postJson("/api/studies/look", { folder: join(two, "nowhere") });
    expect(none.status).toBeGreaterThanOrEqual(400);
    expect((await none.json()).error).toContain("There is no folder");
    expect((await postJson("/api/studies/look", {})).status).toBe(400);
  });
});
