import { once } from "node:events";
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { type Server, startServer } from "../../electron/serve.ts";
import { ownPorts, StudyPorts } from "../../electron/studyPorts.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const portOf = ({ url }: Server) => Number(new URL(url).port);

async function start(study: string, port?: number): Promise<Server> {
  const windowDir = temporaryFolder();
  writeFileSync(join(windowDir, "index.html"), "<!doctype html>");
  const ports = await StudyPorts.read(study);
  const server = await startServer({ study, windowDir, ports, ...(port === undefined ? {} : { port }) });
  onTestFinished(() => server.close());
  return server;
}

async function occupy(port: number): Promise<void> {
  const server = createServer();
  server.listen(port, "127.0.0.1");
  await once(server, "listening");
  onTestFinished(() => void server.close());
}

/** As the window asks: the cookie comes with the first visit to the printed address. */
async function at(server: Server, port: number, path: string, init: RequestInit = {}): Promise<Response> {
  const { base, cookie } = await firstVisit(server.url);
  const there = `http://127.0.0.1:${port}${new URL(base).pathname}${path}`;
  return fetch(there, { ...init, headers: { cookie, ...init.headers } });
}

it("are the same for a folder each time, others for another, and none a system hands out by itself", () => {
  const folders = Array.from({ length: 50 }, (_, i) => `/a/study ${i}`);
  const firsts = new Set<number>();
  for (const folder of folders) {
    const row = ownPorts(folder);
    expect(ownPorts(folder)).toEqual(row);
    expect(new Set(row).size).toBe(row.length);
    // RFC 6335 6: ports above 49151 are dynamic; Linux hands out those from 32768 (ip-sysctl, ip_local_port_range).
    for (const port of row) expect(port > 1023 && port < 32_768).toBe(true);
    firsts.add(row[0] as number);
  }
  // 50 out of 5000: by chance 0.25 pairs share one.
  expect(firsts.size).toBeGreaterThan(46);
});

it("are taken again, also when another study was opened in between", async () => {
  const [one, two] = [studyFolder(), studyFolder()];
  const first = await start(one);
  const port = portOf(first);
  await first.close();
  const other = await start(two);
  expect(portOf(other)).not.toBe(port);
  expect(portOf(await start(one))).toBe(port);
});

it("make way for another program and are the study's again, the others answered too", async () => {
  const folder = studyFolder();
  const [usual] = ownPorts(folder) as [number];
  await occupy(usual);
  const first = await start(folder);
  expect(portOf(first)).not.toBe(usual);
  await first.close();
  const second = await start(folder, 0);
  const opened = await at(second, portOf(first), "api/study");
  expect(opened.status, "by this run's key, at the address of the run before").toBe(200);
  expect((await opened.json()).notices).toEqual([
    expect.stringContaining(`http://127.0.0.1:${portOf(second)}`),
  ]);
  const here = await (await at(second, portOf(second), "api/study")).json();
  expect(here.notices).toEqual([expect.stringContaining(`http://127.0.0.1:${portOf(first)}`)]);
  await second.close();
  expect(portOf(await start(folder))).toBe(portOf(first));
});

it("are forgotten once the last window there has left nothing, but for the usual one", async () => {
  const folder = studyFolder();
  const usual = await start(folder);
  const home = portOf(usual);
  await usual.close();
  const server = await start(folder, 0);
  const here = portOf(server);
  const known = async () => (await StudyPorts.read(folder)).known;
  expect(await known()).toEqual([home, here]);
  const stop = new AbortController();
  await at(server, here, "api/window?window=window-one", { signal: stop.signal });
  await at(server, here, "api/window?window=window-two", { signal: stop.signal });
  const leave = (port: number, window: string) =>
    at(server, port, "api/window/left-nothing", {
      method: "POST",
      headers: { "x-blademark-window": window },
    });
  await leave(here, "window-one");
  expect(await known(), "another window is there").toEqual([home, here]);
  stop.abort();
  await expect.poll(async () => (await leave(here, "window-two")) && known()).toEqual([home]);
  await leave(home, "window-one");
  expect(await known()).toEqual([home]);
});

it("are not those of the study a folder was copied from, nor what is no port", async () => {
  const folder = studyFolder();
  await (await StudyPorts.read(folder)).add(23_456);
  const copy = join(temporaryFolder(), "copy");
  cpSync(folder, copy, { recursive: true });
  expect((await StudyPorts.read(copy)).known).toEqual([]);
  const file = join(folder, "cache", "ports.json");
  const good = JSON.parse(readFileSync(file, "utf8"));
  expect((await StudyPorts.read(folder)).known).toEqual([23_456]);
  for (const ports of [[80], [22_000.5], ["22000"], [70_000], Array(7).fill(22_000), null]) {
    writeFileSync(file, JSON.stringify({ ...good, ports }));
    expect((await StudyPorts.read(folder)).known, JSON.stringify(ports)).toEqual([]);
  }
  writeFileSync(file, "{");
  expect((await StudyPorts.read(folder)).known).toEqual([]);
});
