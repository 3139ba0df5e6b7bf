/** Requests whose body, headers or ranges are meant to fill the host's memory or to be taken for a study. */
import { readFileSync } from "node:fs";
import { connect, type Socket } from "node:net";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { door } from "./door.ts";

describe("what is sent", () => {
  const json = (port: number, cookie: string, length: number | string) =>
    `PUT /~/api/study HTTP/1.1\nHost: 127.0.0.1:${port}\nCookie: ${cookie}\nContent-Type: application/json\nContent-Length: ${length}`;

  it("refuses a body that says it is too long before a byte of it has come", async () => {
    const { raw, port, cookie } = await door();
    expect(await raw(json(port, cookie, 2 ** 40))).toMatch(/^HTTP\/1\.1 413 /);
  });

  it("refuses a body that is longer than it may be, sent in pieces without saying so", async () => {
    const { port, cookie, folder, url } = await door();
    const before = readFileSync(join(folder, "study.json"), "utf8");
    const { status, sent } = await endless(port, cookie, new URL(url).pathname);
    expect(status).toMatch(/^HTTP\/1\.1 413 /);
    expect(sent).toBeLessThan(80 * 2 ** 20);
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe(before);
  });

  it("does not read more than its share of headers", async () => {
    const { raw, port, cookie } = await door();
    const answer = await raw(
      `GET /~/api/study HTTP/1.1\nHost: 127.0.0.1:${port}\nCookie: ${cookie}\nX-Long: ${"x".repeat(40_000)}`,
    );
    expect(answer).toMatch(/^HTTP\/1\.1 431 /);
  });

  it("answers no byte ranges, neither large nor many", async () => {
    const { url, cookie } = await door();
    const many = `bytes=${Array.from({ length: 1000 }, (_, i) => `${i}-${i + 1}`).join(",")}`;
    for (const range of ["bytes=0-99999999999", "bytes=-1", "bytes=5-2", many]) {
      const answer = await fetch(`${url}assets/a.js`, { headers: { cookie, range } });
      expect(answer.status).toBe(200);
      expect(answer.headers.get("accept-ranges")).toBe("none");
      expect(await answer.text()).toBe("export {};");
    }
  });

  it.each([
    ["an array", "[]"],
    ["nothing", "null"],
    ["a number", "7"],
    ["a very deep list", "[".repeat(200_000) + "]".repeat(200_000)],
    ["a prototype", '{"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}}}'],
    ["bytes that are no UTF-8", "\u00ff\u00fe{"],
  ])("refuses %s for a study, in words", async (_, body) => {
    const { url, cookie } = await door();
    const headers = { cookie, "content-type": "application/json" };
    const answer = await fetch(`${url}api/study`, { method: "PUT", body, headers });
    expect(answer.status).toBe(400);
    expect((await answer.json()).error).toMatch(/\.$/);
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });
});

/** Sends chunks without an end until the host has had enough. */
function endless(port: number, cookie: string, base: string): Promise<{ status: string; sent: number }> {
  return new Promise((resolve) => {
    const socket: Socket = connect(port, "127.0.0.1");
    const chunk = `${(2 ** 20).toString(16)}\r\n${" ".repeat(2 ** 20)}\r\n`;
    let sent = 0;
    let status = "";
    const more = () => {
      while (!socket.destroyed && sent < 200 * 2 ** 20) {
        sent += 2 ** 20;
        if (!socket.write(chunk)) return;
      }
    };
    socket.on("drain", more);
    socket.on("data", (part) => {
      status += part;
    });
    socket.on("error", () => undefined);
    socket.on("close", () => resolve({ status, sent }));
    socket.write(
      `PUT ${base}api/study HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nCookie: ${cookie}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n`,
    );
    more();
  });
}
