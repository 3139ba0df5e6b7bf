import type { Server } from "node:http";
import type { Socket } from "node:net";

export interface Bounds {
  /** Connections that have shown no key yet. */
  readonly strangers: number;
  /** All of them. */
  readonly all: number;
  /** A connection that is this young may have its request on the way. */
  readonly youngMs: number;
}

/** One person's windows need a few; a browser opens six to an address. */
export const BOUNDS: Bounds = { strangers: 64, all: 2000, youngMs: 500 };

/**
 * Keeps connections in bounds, so that a program which opens a thousand and says nothing locks nobody out: of those that
 * have shown no key the oldest goes first, once it has had time to ask. One that has asked with the key is never closed
 * for another's sake.
 *
 * @returns called with the connection of a request that had the key
 */
export function boundConnections(server: Server, bounds: Bounds = BOUNDS): (socket: Socket) => void {
  /** Since when, oldest first. */
  const strangers = new Map<Socket, number>();
  let looking: NodeJS.Timeout | null = null;
  server.maxConnections = bounds.all;

  function look(): void {
    looking = null;
    for (const [socket, since] of strangers) {
      if (strangers.size <= bounds.strangers) return;
      const young = since + bounds.youngMs - performance.now();
      if (young > 0) {
        looking = setTimeout(look, young).unref();
        return;
      }
      strangers.delete(socket);
      socket.destroy();
    }
  }

  server.on("connection", (socket) => {
    strangers.set(socket, performance.now());
    socket.once("close", () => strangers.delete(socket));
    if (strangers.size > bounds.strangers && !looking) look();
  });
  return (socket) => void strangers.delete(socket);
}
