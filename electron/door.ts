import {
  createServer,
  type IncomingMessage,
  type Server,
  type ServerOptions,
  type ServerResponse,
} from "node:http";
import type { AddressInfo } from "node:net";
import { setTimeout as wait } from "node:timers/promises";
import { type Bounds, boundConnections } from "./connections.ts";

/** One port of this machine that is open. */
export interface Door {
  readonly port: number;
  close(): Promise<void>;
}

/**
 * Opens a port on this machine only.
 *
 * @param port 0 = any free one
 * @param answer `known` says that a request had the key
 * @throws what the system says: `EADDRINUSE`, `EACCES`
 */
export async function openDoor(
  port: number,
  options: ServerOptions,
  bounds: Bounds,
  answer: (incoming: IncomingMessage, outgoing: ServerResponse, known: () => void) => void,
): Promise<Door> {
  const server = createServer(options);
  const isKnown = boundConnections(server, bounds);
  server.on("request", (incoming, outgoing) => answer(incoming, outgoing, () => isKnown(incoming.socket)));
  await listening(server, port);
  return {
    port: (server.address() as AddressInfo).port,
    async close() {
      const closed = new Promise((resolve) => server.close(resolve));
      server.closeAllConnections();
      await closed;
    },
  };
}

function listening(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", reject);
    server.listen(port, "127.0.0.1", () => {
      server.off("error", reject);
      resolve();
    });
  });
}

/**
 * Null when another program has that port and goes on having it, or it may not be opened.
 *
 * @param patienceMs a program that is just ending gives its port back in this time
 */
export async function ifFree<T>(
  port: number,
  open: (port: number) => Promise<T>,
  patienceMs = 0,
): Promise<T | null> {
  for (const end = performance.now() + patienceMs; ; await wait(100)) {
    try {
      return await open(port);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code !== "EADDRINUSE" && code !== "EACCES") throw error;
      if (performance.now() >= end) return null;
    }
  }
}
