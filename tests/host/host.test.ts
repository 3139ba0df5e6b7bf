import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import type { OpenedStudy } from "../../src/study/exchange.ts";
import { MARKS, STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { ORIGIN, type TestHost, testHost } from "../helpers/testHost.ts";

let folder = "";
let windowDir = "";
let host: TestHost;

beforeEach(async () => {
  folder = studyFolder();
  const outer = temporaryFolder();
  windowDir = join(outer, "app");
  mkdirSync(join(windowDir, "assets"), { recursive: true });
  writeFileSync(join(windowDir, "index.html"), "<!doctype html><title>Blademark</title>");
  writeFileSync(join(windowDir, "assets", "main-1a2b.js"), "export {};");
  writeFileSync(join(windowDir, ".secret.txt"), "dot file");
  writeFileSync(join(outer, "outside.txt"), "outside");
  host = await testHost(folder, windowDir);
});

describe("the host's study routes", () => {
  it("gives the whole study", async () => {
    const answer = await host.get("/api/study");
    expect(answer.status).toBe(200);
    expect(answer.headers.get("content-type")).toMatch(/^application\/json/);
    expect(await answer.json()).toMatchObject({ study: STUDY, marks: { t1: MARKS }, readOnly: false });
  });

  it("saves study, marks and position", async () => {
    const study = await host.putJson("/api/study", { ...STUDY, question: "saved" });
    expect(study.status).toBe(200);
    expect(Date.parse((await study.json()).savedAt)).toBeGreaterThan(0);
    expect((await host.putJson("/api/marks/t2", { ...MARKS, trial: "t2" })).status).toBe(200);
    expect((await host.putJson("/api/position", { place: "plan", trial: null, frame: 0 })).status).toBe(204);
    expect(JSON.parse(readFileSync(join(folder, "study.json"), "utf8")).question).toBe("saved");
    expect(JSON.parse(readFileSync(join(folder, "marks", "t2.json"), "utf8")).trial).toBe("t2");
  });

  it("refuses what is no study, with words and a code, and keeps what was there", async () => {
    const before = readFileSync(join(folder, "study.json"), "utf8");
    const wrong = await host.putJson("/api/study", { ...STUDY, trials: "many" });
    expect(wrong.status).toBe(400);
    expect(await wrong.json()).toMatchObject({
      error: expect.stringMatching(/trials/),
      code: "damaged-document",
    });
    const broken = await host.get("/api/study", {
      method: "PUT",
      body: "{",
      headers: { "content-type": "application/json" },
    });
    expect(broken.status).toBe(400);
    const form = await host.get("/api/study", {
      method: "PUT",
      body: "a=1",
      headers: { "content-type": "text/plain" },
    });
    expect(form.status).toBe(415);
    expect((await host.putJson("/api/position", { place: "kitchen", trial: null, frame: 0 })).status).toBe(
      400,
    );
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe(before);
  });

  it("refuses a body that is too large before it has read all of it", async () => {
    let sent = 0;
    const endless = new ReadableStream<Uint8Array>({
      pull(controller) {
        sent += 2 ** 20;
        controller.enqueue(new Uint8Array(2 ** 20).fill(32));
      },
    });
    const init = {
      method: "PUT",
      body: endless,
      duplex: "half",
      headers: { "content-type": "application/json" },
    };
    const answer = await host.get("/api/study", init as RequestInit);
    expect(answer.status).toBe(413);
    expect(sent).toBeLessThan(64 * 2 ** 20);
  });

  it.each(["..%2F..%2Fstudy", "%2e%2e%2fstudy", "..%5Cstudy", "a%00b"])(
    "refuses marks of the trial %s",
    async (id) => {
      const answer = await host.putJson(`/api/marks/${id}`, MARKS);
      expect(answer.status).toBe(400);
      expect((await answer.json()).code).toBe("bad-id");
    },
  );

  it("answers 409 for a study that is open for reading only", async () => {
    const newer = await testHost(studyFolder({ ...STUDY, version: 2 }), windowDir);
    expect((await newer.putJson("/api/study", STUDY)).status).toBe(409);
  });
});

describe("a window of an earlier run", () => {
  it("writes nothing, by any route, and is told to reload", async () => {
    const { get } = host;
    const { run } = (await (await get("/api/study")).json()) as OpenedStudy;
    const send = (method: string, path: string, body: unknown, from: string) =>
      get(path, {
        ...{ method, body: JSON.stringify(body) },
        headers: { "content-type": "application/json", "x-blademark-run": from },
      });
    const changed = { ...STUDY, question: "from before" };
    for (const [method, path, body] of [
      ["PUT", "/api/study", changed],
      ["PUT", "/api/marks/t1", MARKS],
      ["POST", "/api/steps", { from: 0, steps: [] }],
      ["POST", "/api/choose", { document: "study" }],
    ] as const) {
      const refused = await send(method, path, body, "another-run");
      expect(refused.status, path).toBe(409);
      expect(await refused.json(), path).toMatchObject({
        code: "restarted",
        error: expect.stringMatching(/Reload/),
      });
    }
    expect(host.host.vault.study.question).toBe(STUDY.question);
    expect((await send("PUT", "/api/study", changed, run)).status).toBe(200);
  });
});

describe("the host's guard", () => {
  const from = (url: string, headers: Record<string, string> = {}, method = "GET") =>
    host.host.handle(new Request(url, { method, headers }));

  it("answers its own window", async () => {
    expect(
      (await from(`${ORIGIN}/api/study`, { origin: ORIGIN, "sec-fetch-site": "same-origin" })).status,
    ).toBe(200);
    expect((await from(`${ORIGIN}/`, { "sec-fetch-site": "none" })).status).toBe(200);
  });

  it.each([
    ["a foreign name for this machine", "http://rebound.example:5147/api/study", {}],
    ["another port", "http://127.0.0.1:1/api/study", {}],
    ["another scheme", "https://127.0.0.1:5147/api/study", {}],
    ["a page of another origin", `${ORIGIN}/api/study`, { origin: "https://evil.example" }],
    ["a page without an origin of its own", `${ORIGIN}/api/study`, { origin: "null" }],
    ["a page on another port", `${ORIGIN}/api/study`, { origin: "http://127.0.0.1:8080" }],
    ["a picture on another page", `${ORIGIN}/api/clips/a/frames/0`, { "sec-fetch-site": "cross-site" }],
    ["another program's page on this machine", `${ORIGIN}/`, { "sec-fetch-site": "same-site" }],
  ])("refuses %s", async (_, url, headers) => {
    const answer = await from(url, headers as Record<string, string>);
    expect(answer.status).toBe(403);
    expect(answer.headers.get("access-control-allow-origin")).toBeNull();
  });
});

describe("the host's addresses", () => {
  it("serves the window with a policy that lets it load nothing from elsewhere", async () => {
    const page = await host.get("/");
    expect(page.status).toBe(200);
    expect(page.headers.get("content-type")).toBe("text/html; charset=utf-8");
    expect(await page.text()).toMatch(/<title>Blademark/);
    const policy = page.headers.get("content-security-policy") ?? "";
    expect(policy).toMatch(/default-src 'none'; script-src 'self';/);
    expect(policy).toMatch(/img-src 'self' blob: data:/);
    expect(policy).toMatch(/worker-src 'self' blob:/);
    expect(policy).not.toMatch(/script-src[^;]*(unsafe|blob|data)|https?:|\*/);
    const script = await host.get("/assets/main-1a2b.js");
    expect(script.headers.get("content-type")).toBe("text/javascript; charset=utf-8");
    expect(script.headers.get("cache-control")).toMatch(/immutable/);
  });

  it.each([
    "/../outside.txt",
    "/..%2foutside.txt",
    "/%2e%2e/outside.txt",
    "/%2e%2e%2foutside.txt",
    "/assets/..%2f..%2foutside.txt",
    "/..%5coutside.txt",
    "/assets/%00",
    "/%",
    "/.secret.txt",
    "/assets",
    "/nothing.js",
    "/outside.txt",
  ])("finds nothing at %s", async (path) => {
    const answer = await host.get(path);
    expect(answer.status).toBe(404);
    expect(await answer.text()).not.toMatch(/^outside|dot file/);
  });

  it.each([
    ["GET", "/api"],
    ["GET", "/api/nothing"],
    ["GET", "/api/study/more"],
    ["GET", "/api/clips/a/frames"],
    ["GET", "/api//study"],
  ])("knows no %s %s", async (method, path) => {
    expect((await host.get(path, { method })).status).toBe(404);
  });

  it.each([
    ["DELETE", "/api/study", "GET, PUT"],
    ["GET", "/api/clips", "POST"],
    ["PUT", "/", "GET"],
  ])("says which methods there are instead of %s %s", async (method, path, allowed) => {
    const answer = await host.get(path, { method });
    expect(answer.status).toBe(405);
    expect(answer.headers.get("allow")).toBe(allowed);
  });

  it("answers HEAD like GET without a body", async () => {
    const answer = await host.get("/", { method: "HEAD" });
    expect(answer.status).toBe(200);
    expect(await answer.text()).toBe("");
  });

  it.each(["index", "frames/0", "prepare"])("knows no clip of another study: %s", async (part) => {
    const method = part === "prepare" ? "POST" : "GET";
    const answer = await host.get(`/api/clips/..%2F..%2Fetc%2Fpasswd/${part}`, { method });
    expect(answer.status).toBe(404);
    expect((await answer.json()).code).toBe("unknown-clip");
  });

  it("refuses a clip without a name or content", async () => {
    expect((await host.get("/api/clips", { method: "POST", body: "x" })).status).toBe(400);
    const empty = await host.get("/api/clips?name=a.mp4", { method: "POST" });
    expect(empty.status).toBe(400);
    expect((await empty.json()).error).toMatch(/"a\.mp4" is empty/);
  });

  it("says that the window is not built when it is not", async () => {
    const bare = await testHost(studyFolder(), temporaryFolder());
    const answer = await bare.get("/");
    expect(answer.status).toBe(503);
    expect((await answer.json()).error).toMatch(/npm run build/);
  });
});
