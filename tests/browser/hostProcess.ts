import { spawn } from "node:child_process";
import { once } from "node:events";
import { createServer } from "node:net";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import { printedAddress } from "../helpers/printedAddress.ts";

const CLI = join(import.meta.dirname, "../../dist/electron/cli.js");

export interface HostProcess {
  /** The printed address, with the key of this run. */
  readonly url: string;
  /** Ends it at once, by its own process id. */
  kill(): Promise<void>;
}

/** The built program as a person starts it, in a process of its own that can be killed. */
export async function hostProcess(study: string, port: number): Promise<HostProcess> {
  const child = spawn(process.execPath, [CLI, "serve", study, "--port", String(port)], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const ended = once(child, "close");
  const kill = async () => {
    child.kill("SIGKILL");
    await ended;
  };
  onTestFinished(kill);
  return { url: await printedAddress(child), kill };
}

/** A port that is free now, and that no outgoing connection gets by itself (those begin at 32768). */
export async function quietPort(): Promise<number> {
  for (let port = 20_000 + (process.pid % 5000); port < 32_000; port++) {
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
