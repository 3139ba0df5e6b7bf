import { mkdirSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { join } from "node:path";
import { describe, expect, it, onTestFinished } from "vitest";
import { startServer } from "../../electron/serve.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

/** A server, its plain address, and the cookie that the first visit gives. */
async function server() {
  const windowDir = temporaryFolder();
  writeFileSync(join(windowDir, "index.html"), "<!doctype html>");
  const started = await startServer({ study: studyFolder(), windowDir });
  onTestFinished(() => started.close());
  const { answer: first, base, cookie } = await firstVisit(started.url);
  return { keyed: started.url, first, url: base, cookie };
}

/** One request exactly as written, for what fetch would tidy up. */
function raw(url: string, lines: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(Number(new URL(url).port), "127.0.0.1");
    let text = "";
    socket.on("data", (part) => {
      text += part;
    });
    socket.on("close", () => resolve(text));
    socket.on("error", reject);
    socket.write(lines.replaceAll("\n", "\r\n"));
  });
}

describe("the browser's door", () => {
  it("opens on this machine only and answers by both its names", async () => {
    const { keyed, url, cookie } = await server();
    expect(keyed).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\?key=[\w-]{32}$/);
    for (const name of [url, url.replace("127.0.0.1", "localhost")]) {
      const study = await fetch(`${name}api/study`, { headers: { cookie } });
      expect(await study.json()).toMatchObject({ study: STUDY });
    }
  });

  it("does not answer to a foreign Host, nor without one", async () => {
    const { url } = await server();
    const rebound = await raw(
      url,
      `GET /api/study HTTP/1.1\nHost: rebound.example:${new URL(url).port}\nConnection: close\n\n`,
    );
    expect(rebound).toMatch(/^HTTP\/1\.1 403/);
    const nameless = await raw(url, "GET /api/study HTTP/1.0\n\n");
    expect(nameless).toMatch(/^HTTP\/1\.[01] 400/);
    const absolute = await raw(
      url,
      `GET http://rebound.example/api/study HTTP/1.1\nHost: 127.0.0.1\nConnection: close\n\n`,
    );
    expect(absolute).toMatch(/^HTTP\/1\.1 400/);
  });

  it("finds nothing by paths that climb, however they are spelt", async () => {
    const { url, cookie } = await server();
    const host = `Host: 127.0.0.1:${new URL(url).port}\nCookie: ${cookie}\nConnection: close\n\n`;
    for (const path of [
      "/../../etc/passwd",
      "//etc/passwd",
      "/%2e%2e/%2e%2e/etc/passwd",
      "/..\\..\\etc\\passwd",
    ]) {
      expect(await raw(url, `GET ${path} HTTP/1.1\n${host}`), path).toMatch(/^HTTP\/1\.1 40[14]/);
      const below = `${new URL(url).pathname}${path}`;
      expect(await raw(url, `GET ${below} HTTP/1.1\n${host}`), below).toMatch(/^HTTP\/1\.1 40[14]/);
    }
  });

  it("takes bodies and gives words when they are wrong", async () => {
    const { url, cookie } = await server();
    const headers = { "content-type": "application/json", cookie };
    const put = (body: string) => fetch(`${url}api/study`, { method: "PUT", body, headers });
    expect((await put(JSON.stringify({ ...STUDY, question: "over http" }))).status).toBe(200);
    expect((await (await fetch(`${url}api/study`, { headers })).json()).study.question).toBe("over http");
    expect((await put("[]")).status).toBe(400);
  });

  it("says why a port cannot be used", async () => {
    const { url } = await server();
    const windowDir = temporaryFolder();
    mkdirSync(join(windowDir, "x"));
    const again = startServer({ study: studyFolder(), windowDir, port: Number(new URL(url).port) });
    await expect(again).rejects.toMatchObject({ code: "EADDRINUSE" });
  });
});
