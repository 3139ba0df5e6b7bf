import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { createServer, type Socket } from "node:net";
import { delimiter, join } from "node:path";
import { onTestFinished } from "vitest";
import { printedAddress } from "../helpers/printedAddress.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const ROOT = join(import.meta.dirname, "../..");
const CLI = join(ROOT, "dist/electron/cli.js");

export interface HostProcess {
  /** The printed address, with the key of this run. */
  readonly url: string;
  /** Ends it at once, by its own process id. */
  kill(): Promise<void>;
}

/** The built program as a person starts it, in a process of its own that can be killed. */
export function hostProcess(study: string, port: number): Promise<HostProcess> {
  return started(process.execPath, [CLI, "serve", study, "--port", String(port)], { env: withoutMachine() });
}

/** `npm start -- STUDY`, but for the system's browser. */
export function npmStart(study: string): Promise<HostProcess> {
  return started("npm", ["start", "--silent", "--", study], { cwd: ROOT, env: withoutMachine() });
}

/**
 * The system's browser and ffmpeg do nothing: the browser is the test's own, no clip is shown, and to ask a real ffmpeg what
 * it can do takes a second of the processor at each start.
 */
function withoutMachine(): NodeJS.ProcessEnv {
  const programs = temporaryFolder();
  for (const name of ["xdg-open", "open", "ffmpeg"])
    writeFileSync(join(programs, name), "#!/bin/sh\n", { mode: 0o755 });
  return {
    ...process.env,
    BLADEMARK_FFMPEG: join(programs, "ffmpeg"),
    PATH: `${programs}${delimiter}${process.env.PATH}`,
  };
}

/** A program and what it started itself, killed together. */
async function started(program: string, args: readonly string[], options = {}): Promise<HostProcess> {
  const child = spawn(program, args, { ...options, detached: true, stdio: ["ignore", "pipe", "pipe"] });
  const ended = once(child, "close");
  const kill = async () => {
    if (child.exitCode === null && child.signalCode === null && child.pid !== undefined)
      process.kill(-child.pid, "SIGKILL");
    await ended;
  };
  onTestFinished(kill);
  return { url: await printedAddress(child), kill };
}

/** Another program that has a port of this machine, until it is let go. */
export async function occupy(port: number): Promise<() => Promise<void>> {
  const callers = new Set<Socket>();
  const server = createServer((socket) => {
    callers.add(socket);
    socket.on("error", () => undefined).on("close", () => callers.delete(socket));
  });
  server.listen(port, "127.0.0.1");
  await once(server, "listening");
  let gone: Promise<unknown> | null = null;
  const letGo = async () => {
    gone ??= once(server.close(), "close");
    // A browser that called keeps its connection, and a server does not close before that.
    for (const socket of callers) socket.destroy();
    await gone;
  };
  onTestFinished(letGo);
  return letGo;
}

/**
 * A port that is free now, and that nobody else gets: outgoing connections begin at 32768, a study's own ports end at 27000
 * (electron/studyPorts.ts), and tests that run beside this one have another pool id.
 */
export async function quietPort(): Promise<number> {
  const first = 27_000 + 600 * (Number(process.env.VITEST_POOL_ID ?? 0) % 8);
  for (let port = first + (process.pid % 300); port < first + 600; port++) {
    const server = createServer();
    const free = await new Promise<boolean>((resolve) => {
      server.once("error", () => resolve(false));
      server.listen(port, "127.0.0.1", () => resolve(true));
    });
    if (!free) continue;
    server.close();
    await once(server, "close");
    return port;
  }
  throw new Error("no port is free");
}
