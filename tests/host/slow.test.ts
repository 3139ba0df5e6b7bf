/**
 * A sender that takes its time, over a real socket: one that holds a door open byte by byte ("slow loris") must neither
 * keep others out nor change anything. Times are small here; what the door uses is ten seconds for headers, thirty of
 * silence and sixty for a document.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { connect, type Socket } from "node:net";
import { join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { type Patience, startServer } from "../../electron/serve.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

/** As a browser has it: what is asked for lies below the window's own path. */
interface Cookie {
  readonly given: string;
  readonly path: string;
}

async function door(patience: Patience) {
  const windowDir = temporaryFolder();
  writeFileSync(join(windowDir, "index.html"), "<!doctype html>");
  const folder = studyFolder();
  const server = await startServer({ study: folder, windowDir, patience });
  onTestFinished(() => server.close());
  const { base, cookie: given } = await firstVisit(server.url);
  const { port, pathname } = new URL(base);
  const cookie = { given, path: pathname };
  const opens = async () => (await fetch(`${base}api/study`, { headers: { cookie: given } })).status === 200;
  const untouched = () => readFileSync(join(folder, "study.json"), "utf8") === JSON.stringify(STUDY);
  return { port: Number(port), cookie, opens, untouched };
}

/**
 * Connects, sends `begin`, and then a byte of `drip` every few milliseconds; resolves with what was answered once the
 * door has closed the connection. Nothing ends it from this side but the answer's end, or `deaf` not even that.
 */
function slowly(port: number, begin: string, drip = "", deaf = false): Promise<string> {
  return new Promise((resolve) => {
    const socket: Socket = connect({ port, host: "127.0.0.1", allowHalfOpen: deaf });
    let answer = "";
    const timer = setInterval(() => drip && socket.write(drip), 20);
    socket.on("data", (part) => {
      answer += part;
    });
    socket.on("error", () => undefined);
    socket.on("close", () => {
      clearInterval(timer);
      resolve(answer);
    });
    socket.write(begin.replaceAll("\n", "\r\n"));
  });
}

/** A connection that says `begin` and no more. */
function silent(port: number, begin: string): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket: Socket = connect(port, "127.0.0.1", () => resolve(socket));
    socket.on("error", reject);
    socket.resume();
    if (begin) socket.write(begin);
  });
}

/** A connection that has asked with the key and is asked over again, as a window's are. */
async function keptOpen(port: number, cookie: Cookie) {
  const socket = await silent(port, "");
  onTestFinished(() => void socket.destroy());
  const ask = () =>
    new Promise<string>((resolve, reject) => {
      socket.once("data", (part) => resolve(String(part)));
      socket.once("close", () => reject(new Error("the connection was closed")));
      socket.write(
        `HEAD ${cookie.path}api/study HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nCookie: ${cookie.given}\r\n\r\n`,
      );
    });
  await ask();
  return { ask };
}

const put = (port: number, cookie: Cookie, length = 5000) =>
  `PUT ${cookie.path}api/study HTTP/1.1\nHost: 127.0.0.1:${port}\nCookie: ${cookie.given}\nContent-Type: application/json\nContent-Length: ${length}\n\n{`;

describe("headers that take their time", () => {
  it.each([
    ["nothing at all", "", ""],
    ["half a request line and no more", "GET / HT", ""],
    ["a header without an end", "GET / HTTP/1.1\nX-Slow: ", "x"],
    ["a header that grows line by line", "GET / HTTP/1.1\nHost: 127.0.0.1\n", "a: b\r\n"],
  ])("are given up: %s", async (_, begin, drip) => {
    const { port, opens } = await door({ headersMs: 1000 });
    const answer = await slowly(port, begin, drip);
    expect(answer).toMatch(/^(HTTP\/1\.1 (408|431) .*)?/s);
    expect(answer).not.toMatch(/ 200 |Aino/);
    expect(await opens()).toBe(true);
  });
});

describe("bodies that take their time", () => {
  it("are given up when they drip for ever, and nothing of them is saved", async () => {
    // However busy this machine is, the sender is never cut off before it has read why.
    const { port, cookie, opens, untouched } = await door({ wholeMs: 300, toReadMs: 600_000 });
    expect(await slowly(port, put(port, cookie), " ")).toMatch(/^HTTP\/1\.1 408 .*"code":"too-slow"/s);
    expect(untouched()).toBe(true);
    expect(await opens()).toBe(true);
  });

  it("are cut off when they go on after the answer and its end", async () => {
    const { port, cookie, opens, untouched } = await door({ wholeMs: 300, toReadMs: 300 });
    // It ends at all; by then what was answered may be lost, as TCP has it.
    expect(await slowly(port, put(port, cookie), " ", true)).toMatch(/^(HTTP\/1\.1 408 .*)?$/s);
    expect(untouched()).toBe(true);
    expect(await opens()).toBe(true);
  });

  it("are given up when they stop in the middle, a clip's too", async () => {
    const { port, cookie, opens, untouched } = await door({ silenceMs: 200 });
    expect(await slowly(port, put(port, cookie))).toMatch(/^HTTP\/1\.1 408 /);
    const clip = put(port, cookie).replace(/^PUT (.*)api\/study/, "POST $1api/clips?name=a.mp4");
    expect(await slowly(port, clip)).toMatch(/^HTTP\/1\.1 408 /);
    expect(untouched()).toBe(true);
    expect(await opens()).toBe(true);
  });

  it("are not waited for when nobody with a key sends them", async () => {
    const { port, cookie, opens } = await door({ toReadMs: 600_000 });
    const wrong = { ...cookie, given: "blademark=wrong" };
    expect(await slowly(port, put(port, wrong, 2 ** 40), " ")).toMatch(/^HTTP\/1\.1 401 /);
    expect(await opens()).toBe(true);
  });
});

describe("many at once", () => {
  it("keep nobody out: the window is answered beside them, and they are dropped in the end", async () => {
    const { port, cookie, opens } = await door({ headersMs: 2000, silenceMs: 2000 });
    const headers = Array.from({ length: 100 }, () => slowly(port, "GET / HTTP/1.1\nX-Slow: ", "x"));
    const bodies = Array.from({ length: 60 }, () => slowly(port, put(port, cookie)));
    expect(await opens()).toBe(true);
    const answers = await Promise.all([...headers, ...bodies]);
    expect(answers.filter((a) => / 200 /.test(a))).toEqual([]);
    expect(await opens()).toBe(true);
  });

  it("that say nothing shut nobody out, be they a thousand: the oldest go first", async () => {
    // Ten minutes to say something: they are not just given up.
    const { port, cookie, opens } = await door({ headersMs: 600_000 });
    const working = await keptOpen(port, cookie);
    const idle = await Promise.all(
      Array.from({ length: 1000 }, (_, n) => silent(port, n % 2 ? "GET / HT" : "")),
    );
    onTestFinished(() => idle.forEach((socket) => void socket.destroy()));
    // A window that is open goes on, and a new one opens.
    expect(await working.ask()).toMatch(/^HTTP\/1\.1 200 /);
    expect(await opens()).toBe(true);
    await vi.waitFor(
      () => expect(idle.filter((s) => s.closed || s.readableEnded).length).toBeGreaterThan(900),
      {
        timeout: 60_000,
      },
    );
    expect(idle.filter((s) => !s.closed && !s.readableEnded).length).toBeGreaterThan(0);
    expect(await working.ask()).toMatch(/^HTTP\/1\.1 200 /);
    expect(await opens()).toBe(true);
  });

  it("that come without an end shut nobody out", async () => {
    const { port, opens } = await door({ headersMs: 600_000 });
    const idle: Socket[] = [];
    let over = false;
    const coming = (async () => {
      while (!over) idle.push(...(await Promise.all(Array.from({ length: 20 }, () => silent(port, "")))));
    })();
    onTestFinished(() => idle.forEach((socket) => void socket.destroy()));
    for (let n = 0; n < 20; n++) expect(await opens()).toBe(true);
    over = true;
    await coming;
    expect(idle.length).toBeGreaterThan(100);
  });
});
