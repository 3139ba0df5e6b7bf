import type { IncomingMessage, ServerOptions, ServerResponse } from "node:http";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { BOUNDS, type Bounds } from "./connections.ts";
import { type Door, ifFree, openDoor } from "./door.ts";
import { createHost } from "./host/createHost.ts";
import type { BodyLimits } from "./host/jsonBody.ts";
import { hasKey, type Key, keyedAddress, newKey } from "./host/key.ts";
import { refusal } from "./host/replies.ts";
import type { Studies } from "./host/studies.ts";
import { ownPorts, type StudyPorts } from "./studyPorts.ts";
import { windowAddresses } from "./windowAddresses.ts";

export interface ServeOptions {
  /** The study folder. */
  readonly study: string;
  /** This one and no other, 0 = any free one; absent = one of the study's own. */
  readonly port?: number;
  /** Where windows of this study were; absent = nobody will come back. */
  readonly ports?: StudyPorts;
  /** The built window. */
  readonly windowDir: string;
  /** How its windows go to other studies; absent = they can't. */
  readonly studies?: Studies;
  /** How long the other end may take; the usual times where it says none. */
  readonly patience?: Patience;
}

export interface Patience extends BodyLimits {
  /** From the connection, or the last answer, to the end of a request's headers. */
  readonly headersMs?: number;
  /** For reading why a body was refused before it was all there. */
  readonly toReadMs?: number;
  /** For the first visit with a key that opens one window. */
  readonly passMs?: number;
  /** How many connections there may be. */
  readonly bounds?: Bounds;
}

export interface Server {
  /** The address of the window, with the key of this run. */
  readonly url: string;
  /**
   * An address whose key opens one window and no second, for a while.
   *
   * @param onOver it opens nothing any more
   */
  pass(onOver: () => void): string;
  /** Stops answering, ends preparation, waits for writes. */
  close(): Promise<void>;
}

const HEADERS_MS = 10_000;
/** A browser that has to be started first takes a while on an old machine. */
const PASS_MS = 120_000;
/** A refused sender that goes on all the same is cut off after this. */
const TO_READ_MS = 1000;

const limits = (headersMs: number): ServerOptions => ({
  maxHeaderSize: 16 * 1024,
  headersTimeout: headersMs,
  // Node looks this often for those that are late.
  connectionsCheckingInterval: headersMs / 4,
  // A long clip may take longer to arrive than the default five minutes; a silent one is given up by the host.
  requestTimeout: 0,
});

/** The browser's door: HTTP on this machine only, every request handed to the host. */
export async function startServer({
  study,
  port,
  ports,
  windowDir,
  studies,
  patience = {},
}: ServeOptions): Promise<Server> {
  const {
    headersMs = HEADERS_MS,
    toReadMs = TO_READ_MS,
    passMs = PASS_MS,
    bounds = BOUNDS,
    ...bodies
  } = patience;
  let origins: ReadonlySet<string> = new Set();
  let key: Key | null = null;
  const addresses = ports && windowAddresses(ports);
  const host = await createHost({
    study,
    windowDir,
    origins: () => origins,
    key: () => key,
    bodies,
    ...(addresses ? { addresses } : {}),
    ...(studies ? { studies } : {}),
  });
  const open = (wanted: number) =>
    openDoor(wanted, limits(headersMs), bounds, (incoming, outgoing, known) => {
      const handle = (request: Request) => {
        if (key && hasKey(request, key)) known();
        return host.handle(request);
      };
      answer(incoming, outgoing, handle, toReadMs).catch((error) => {
        // The browser went away in the middle of an answer; nobody is left to tell.
        outgoing.destroy(error instanceof Error ? error : undefined);
      });
    });
  let main: Door;
  try {
    main = await (port === undefined ? anyOf(study, ports, open) : open(port));
  } catch (error) {
    await host.close();
    throw error;
  }
  const doors = [main];
  // A window of an earlier run may still be open there, or have left something in the browser.
  for (const known of ports?.known ?? []) {
    const door = known === main.port ? null : await ifFree(known, open);
    if (door) doors.push(door);
  }
  await ports?.add(main.port);
  addresses?.opened(doors.map((d) => d.port));
  key = newKey(main.port);
  const { passes } = key;
  const origin = `http://127.0.0.1:${main.port}`;
  origins = new Set(doors.flatMap((d) => [`http://127.0.0.1:${d.port}`, `http://localhost:${d.port}`]));
  return {
    url: keyedAddress(origin, key.secret),
    pass: (onOver) => keyedAddress(origin, passes.make(passMs, onOver)),
    async close() {
      passes.close();
      await Promise.all(doors.map((d) => d.close()));
      await host.close();
    },
  };
}

/** The same program in its end, started again at once. */
const ENDING_MS = 1000;

/** The port where the study was before, else one of its own, else any that is free. */
async function anyOf(
  study: string,
  ports: StudyPorts | undefined,
  open: (port: number) => Promise<Door>,
): Promise<Door> {
  const known = ports?.known ?? [];
  for (const port of [...known, ...(ports ? ownPorts(study) : [])]) {
    const door = await ifFree(port, open, port === known[0] ? ENDING_MS : 0);
    if (door) return door;
  }
  return open(0);
}

/** More than the largest frame. */
const ONE_PIECE_BYTES = 16e6;

async function answer(
  incoming: IncomingMessage,
  outgoing: ServerResponse,
  handle: (request: Request) => Promise<Response>,
  toReadMs: number,
): Promise<void> {
  const gone = new AbortController();
  // Whoever went away before the answer was out waits for nothing any more.
  outgoing.once("close", () => outgoing.writableFinished || gone.abort());
  const request = toRequest(incoming, gone.signal);
  const response = request
    ? await handle(request)
    : refusal(400, "bad-request", "That is not a request for Blademark.");
  outgoing.writeHead(response.status, Object.fromEntries(response.headers));
  const bytes = Number(response.headers.get("content-length") ?? Number.POSITIVE_INFINITY);
  // A frame goes out in one piece: through the stream it takes several turns more, and a person waits for it.
  if (response.body && bytes <= ONE_PIECE_BYTES) outgoing.end(Buffer.from(await response.arrayBuffer()));
  else if (response.body) await pipeline(Readable.fromWeb(response.body as never), outgoing);
  else outgoing.end();
  if (incoming.complete) return;
  if (outgoing.writableFinished) endGently(incoming, toReadMs);
  else outgoing.once("finish", () => endGently(incoming, toReadMs));
}

/**
 * Ends a connection whose request was answered before its body was read (a refusal). Closed while bytes still come, it
 * would be reset, and a reset takes with it an answer that the other end has not read yet (RFC 9112, 9.6). So only our
 * direction is closed, what comes is thrown away, and the other end closes when it has read the answer and its end.
 */
function endGently(incoming: IncomingMessage, toReadMs: number): void {
  const { socket } = incoming;
  incoming.removeAllListeners("data").resume();
  socket.end();
  const late = setTimeout(() => socket.destroy(), toReadMs).unref();
  socket.once("close", () => clearTimeout(late));
}

/** The address is the Host header's own, so that the host sees what the browser asked for; null when it has none. */
function toRequest(incoming: IncomingMessage, signal: AbortSignal): Request | null {
  const { method = "GET", url = "", headers } = incoming;
  if (!headers.host || !url.startsWith("/")) return null;
  const given = new Headers();
  for (const [name, value] of Object.entries(headers)) {
    for (const one of Array.isArray(value) ? value : [value ?? ""]) given.append(name, one);
  }
  try {
    const hasBody = method !== "GET" && method !== "HEAD";
    return new Request(`http://${headers.host}${url}`, {
      method,
      headers: given,
      signal,
      ...(hasBody ? { body: Readable.toWeb(incoming) as ReadableStream, duplex: "half" } : {}),
    } as RequestInit);
  } catch {
    return null;
  }
}
