/**
 * Who else uses this machine sees what every program was started with (ps, proc(5): cmdline is readable by all), and can
 * reach the port. Here the other user is a real one wherever the test runs as the system's own user.
 */
import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { delimiter, dirname, join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { openBrowser } from "../../electron/openBrowser.ts";
import { type Patience, startServer } from "../../electron/serve.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const NOBODY = 65534;

async function server(patience: Patience = {}) {
  const windowDir = temporaryFolder();
  writeFileSync(join(windowDir, "index.html"), "<!doctype html>");
  const started = await startServer({ study: studyFolder(), windowDir, patience });
  onTestFinished(() => started.close());
  return started;
}

/** What the browser's program was started with; it goes on until the test ends. */
async function opened(started: Awaited<ReturnType<typeof server>>) {
  const programs = temporaryFolder();
  const said = join(programs, "said");
  for (const name of ["xdg-open", "open"])
    writeFileSync(
      join(programs, name),
      `#!/bin/sh\nprintf %s "$*" > ${said}.part && mv ${said}.part ${said}\nsleep 5\n`,
      { mode: 0o755 },
    );
  vi.stubEnv("PATH", `${programs}${delimiter}${process.env.PATH}`);
  onTestFinished(() => void vi.unstubAllEnvs());
  const takeAway = await openBrowser(started);
  onTestFinished(takeAway);
  await vi.waitFor(() => expect(existsSync(said)).toBe(true), { timeout: 30_000 });
  const page = readFileSync(said, "utf8");
  const address = /url=(http[^"]+)/.exec(readFileSync(page, "utf8"))?.[1] as string;
  return { page, address, takeAway };
}

const cookieOf = (answer: Response) => (answer.headers.get("set-cookie") ?? "").split(";")[0] as string;

describe("the system's browser", () => {
  it("is started with no key that another user could read, by list of processes or as a file", async () => {
    const started = await server();
    const { page, address } = await opened(started);
    const keys = [started.url, address].map((url) => new URL(url).searchParams.get("key") as string);
    expect(new Set(keys).size).toBe(2);
    expect(page).toMatch(/open\.html$/);
    const theirs = process.getuid?.() === 0 ? { uid: NOBODY, gid: NOBODY } : {};
    const { stdout: list } = spawnSync("ps", ["-Aww", "-o", "args"], { ...theirs, encoding: "utf8" });
    expect(list, "the list names what the browser was started with").toContain(page);
    for (const key of keys) expect(list).not.toContain(key);
    expect(statSync(page).mode & 0o777).toBe(0o600);
    expect(statSync(dirname(page)).mode & 0o777).toBe(0o700);
    if (process.getuid?.() !== 0) return;
    for (const [program, what] of [
      ["cat", page],
      ["ls", dirname(page)],
    ] as const) {
      const { status, stdout } = spawnSync(program, [what], { ...theirs, encoding: "utf8" });
      expect(status, stdout).not.toBe(0);
      expect(stdout).toBe("");
    }
    // The same is not refused to its owner.
    expect(spawnSync("cat", [page], { encoding: "utf8" }).stdout).toContain(keys[1]);
  });

  it("opens one window, which may go on, and no second; the page is gone then", async () => {
    const { page, address } = await opened(await server());
    const first = await fetch(address, { redirect: "manual" });
    expect(first.status).toBe(303);
    const study = await fetch(new URL(`${first.headers.get("location")}api/study`, address), {
      headers: { cookie: cookieOf(first) },
    });
    expect(await study.json()).toMatchObject({ study: STUDY });
    await vi.waitFor(() => expect(existsSync(dirname(page))).toBe(false), { timeout: 30_000 });
    const second = await fetch(address, { redirect: "manual" });
    expect(second.status).toBe(401);
    expect(second.headers.get("set-cookie")).toBe(null);
  });

  it("that never comes leaves nothing behind, and what it was given opens nothing later", async () => {
    const { page, address } = await opened(await server({ passMs: 1500 }));
    await vi.waitFor(() => expect(existsSync(dirname(page))).toBe(false), { timeout: 30_000 });
    expect((await fetch(address, { redirect: "manual" })).status).toBe(401);
  });

  it("comes from a page, so that the answer goes on by itself instead of being sent on", async () => {
    const { address } = await opened(await server());
    // As browsers send it for a way that began at a file (Fetch Metadata Request Headers, 2.3).
    const headers = { "sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate" };
    const wrong = await fetch(`${new URL(address).origin}/?key=${"x".repeat(32)}`, { headers });
    expect(wrong.status).toBe(403);
    const first = await fetch(address, { redirect: "manual", headers });
    expect(first.status).toBe(200);
    expect(cookieOf(first)).toMatch(/^blademark-\d+=/);
    const text = await first.text();
    expect(text).toMatch(/content="0;url=\/w\/[\w-]{32}\/"/);
    expect(text).not.toContain(cookieOf(first).split("=")[1]);
  });
});
