/**
 * Attempts to get in. Each names what an attacker on this machine or on a web page would send; none may see or change
 * a file, and none may make the host wait or fill its memory.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { MARKS } from "../helpers/studyFolder.ts";
import { door, SECRET } from "./door.ts";

/** Ways to write "one folder up" that some server, somewhere, has fallen for. */
const CLIMBS = [
  "../secret.txt",
  "../../secret.txt",
  "/../secret.txt",
  "./../secret.txt",
  "assets/../../secret.txt",
  "assets/./../../secret.txt",
  "..%2fsecret.txt",
  "..%2Fsecret.txt",
  "%2e%2e/secret.txt",
  "%2E%2E/secret.txt",
  "%2e%2e%2fsecret.txt",
  "%2e./secret.txt",
  ".%2e/secret.txt",
  "%252e%252e%252fsecret.txt",
  "%252e%252e/secret.txt",
  "..%252fsecret.txt",
  "..%5csecret.txt",
  "..%5Csecret.txt",
  "..\\secret.txt",
  "assets\\..\\..\\secret.txt",
  "%2e%2e%5csecret.txt",
  "..%c0%afsecret.txt",
  "%c0%ae%c0%ae/secret.txt",
  "..%e0%80%afsecret.txt",
  "..%00/secret.txt",
  "assets/%00../../secret.txt",
  "....//secret.txt",
  "..;/secret.txt",
  "..%3b/secret.txt",
  "assets//..//..//secret.txt",
  "..%u2215secret.txt",
  "..%ef%bc%8fsecret.txt",
  "file:///secret.txt",
  "C:/secret.txt",
  "~/secret.txt",
];

describe("paths that climb", () => {
  it(`finds nothing in ${CLIMBS.length} spellings, as a page, a clip, a frame or a trial`, async () => {
    const { raw, port, cookie, folder } = await door();
    expect(CLIMBS.length).toBeGreaterThanOrEqual(30);
    const head = `Host: 127.0.0.1:${port}\nCookie: ${cookie}`;
    const before = readFileSync(join(folder, "study.json"), "utf8");
    for (const climb of CLIMBS) {
      for (const place of ["/", "/~/", "/~/assets/", "/~/api/clips/", "/~/api/marks/", "/~/api/films/"]) {
        const answer = await raw(`GET ${place}${climb} HTTP/1.1\n${head}`);
        // 401: it climbed out of the window's own path.
        expect(answer, place + climb).toMatch(/^HTTP\/1\.1 (400|401|404|405) /);
        expect(answer, place + climb).not.toContain(SECRET);
      }
      const frame = await raw(`GET /~/api/clips/${climb}/frames/0 HTTP/1.1\n${head}`);
      expect(frame, climb).toMatch(/^HTTP\/1\.1 (400|401|404) /);
      const body = JSON.stringify({ ...MARKS, trial: "t1" });
      const put = await raw(
        `PUT /~/api/marks/${climb} HTTP/1.1\n${head}\nContent-Type: application/json\nContent-Length: ${body.length}`,
        body,
      );
      expect(put, climb).toMatch(/^HTTP\/1\.1 (400|401|404|405) /);
    }
    expect(readFileSync(join(folder, "study.json"), "utf8")).toBe(before);
  });
});

describe("who asks", () => {
  it("answers nobody without this run's key, be it missing, old, cut, long or in the wrong place", async () => {
    const { url, cookie, port } = await door();
    const [name, secret = ""] = cookie.split("=");
    const wrong = [
      "",
      `${name}=`,
      `${name}=${secret.slice(0, -1)}`,
      `${name}=${secret}x`,
      `${name}=${secret.slice(1)}${secret[0]}`,
      `${name}=${secret.toUpperCase()}`,
      `other=${secret}`,
      `blademark-${port + 1}=${secret}`,
      `x${name}=${secret}`,
    ];
    for (const given of wrong) {
      for (const path of ["api/study", "api/window?window=12345678", "", "assets/a.js", "index.html"]) {
        const answer = await fetch(url + path, { headers: given ? { cookie: given } : {} });
        expect(answer.status, `${path} ${given}`).toBe(401);
        expect(await answer.text()).not.toMatch(/Aino|export/);
        expect(answer.headers.get("set-cookie")).toBeNull();
      }
    }
    // The cookie is worth nothing at any other path, nor is the path without it.
    const { pathname } = new URL(url);
    for (const path of ["/", "/api/study", "/w/", "/w/x/api/study", pathname.replace(/.\/$/, "/")]) {
      const elsewhere = await fetch(new URL(path, url), { headers: { cookie }, redirect: "manual" });
      expect(elsewhere.status, path).toBe(401);
      expect(await elsewhere.text(), path).not.toContain(pathname);
    }
    const put = await fetch(`${url}api/study?key=${secret}`, { method: "PUT", body: "{}" });
    expect(put.status, "the key opens the window only").toBe(401);
    expect((await fetch(new URL(`/?key=${secret.slice(0, -1)}`, url), { redirect: "manual" })).status).toBe(
      401,
    );
  });

  it("gives the key to no script and to no other site", async () => {
    const { url, keyed } = await door();
    const first = await fetch(keyed, { redirect: "manual" });
    expect(first.status).toBe(303);
    // The key leaves the address bar, the history and every Referer at once.
    expect(first.headers.get("location")).toBe(new URL(url).pathname);
    expect(first.headers.get("referrer-policy")).toBe("no-referrer");
    expect(first.headers.get("set-cookie")).toMatch(/; HttpOnly; SameSite=Strict; Path=\/w\/[\w-]{32}\/$/);
  });

  it("makes a new key for each run", async () => {
    const [one, two] = [await door(), await door()];
    expect(one.cookie.split("=")[1]).not.toBe(two.cookie.split("=")[1]);
    expect(new URL(one.url).pathname).not.toBe(new URL(two.url).pathname);
  });

  it.each([
    ["a foreign name that leads here (DNS rebinding)", { host: "rink.example" }],
    ["that name with our port", { host: "rink.example:PORT" }],
    ["a name that begins like ours", { host: "127.0.0.1.rink.example:PORT" }],
    ["a name with ours as user", { host: "127.0.0.1:PORT@rink.example" }],
    ["another port", { host: "127.0.0.1:1" }],
    ["any address", { host: "0.0.0.0:PORT" }],
    ["a page of another site", { origin: "https://rink.example" }],
    ["a page of another port", { origin: "http://127.0.0.1:1" }],
    ["a page by https", { origin: "https://127.0.0.1:PORT" }],
    ["a page without an origin", { origin: "null" }],
    ["a picture in another site's page", { "sec-fetch-site": "cross-site" }],
    ["a frame of another port's page", { "sec-fetch-site": "same-site" }],
  ])("refuses %s, key or no key", async (_, headers) => {
    const { raw, port, cookie } = await door();
    const given: Record<string, string> = { host: "127.0.0.1:PORT", ...(headers as Record<string, string>) };
    const lines = Object.entries(given).map(
      ([name, value]) => `${name}: ${value.replace("PORT", String(port))}`,
    );
    for (const method of ["GET", "PUT", "POST", "OPTIONS"]) {
      const answer = await raw(
        [`${method} /~/api/study HTTP/1.1`, ...lines, `cookie: ${cookie}`, "content-length: 0"].join("\n"),
      );
      expect(answer).toMatch(/^HTTP\/1\.1 (400|403) /);
      expect(answer).not.toMatch(/access-control-allow|Aino/i);
    }
  });
});

describe("what an answer allows", () => {
  it("carries headers that keep others out, on every kind of answer", async () => {
    const { url, cookie } = await door();
    for (const path of ["", "assets/a.js", "api/study", "api/nothing", "api/clips/x/frames/0"]) {
      const { headers } = await fetch(url + path, { headers: { cookie } });
      expect(headers.get("x-content-type-options"), path).toBe("nosniff");
      expect(headers.get("x-frame-options"), path).toBe("DENY");
      expect(headers.get("cross-origin-resource-policy"), path).toBe("same-origin");
      expect(headers.get("cross-origin-opener-policy"), path).toBe("same-origin");
      expect(headers.get("referrer-policy"), path).toBe("no-referrer");
      const policy = headers.get("content-security-policy") ?? "";
      expect(policy, path).toMatch(/^default-src 'none'/);
      expect(policy, path).toMatch(/frame-ancestors 'none'/);
      expect(policy.match(/script-src[^;]*/)?.[0] ?? "script-src 'self'", path).toBe("script-src 'self'");
    }
  });
});
