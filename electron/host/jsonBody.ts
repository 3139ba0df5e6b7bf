import { MeasureError } from "../../src/errors.ts";
import { LEVELS, tooDeep } from "../../src/study/nesting.ts";

/** A trial with 100,000 marks is about 12 MB. */
const LIMIT_BYTES = 32 * 2 ** 20;
/** More than any camera writes into one file. */
const CLIP_BYTES = 64 * 2 ** 30;

/** @throws {MeasureError} `not-json`, `too-large`, `broken-json`, `too-deep`, `too-slow` */
export async function jsonBody(
  request: Request,
  limit = LIMIT_BYTES,
  limits: BodyLimits = {},
): Promise<unknown> {
  if (!/^application\/json\b/.test(request.headers.get("content-type") ?? "")) {
    throw new MeasureError(
      "not-json",
      "the body needs content-type application/json",
      "The window sent something else than JSON.",
    );
  }
  if (Number(request.headers.get("content-length")) > limit) throw tooLarge(limit);
  const parts: Uint8Array[] = [];
  for await (const part of bodyOf(request, { wholeMs: DOCUMENT_MS, ...limits, bytes: limit }))
    parts.push(part);
  const json = parsed(Buffer.concat(parts).toString("utf8"));
  if (!tooDeep(json)) return json;
  throw new MeasureError(
    "too-deep",
    `the body is nested more than ${LEVELS} levels deep`,
    `The window sent a document that is nested more than ${LEVELS} levels deep; nothing was saved.`,
  );
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new MeasureError(
      "broken-json",
      "the body is not JSON",
      "The window sent a broken document; nothing was saved.",
    );
  }
}

/** The longest silence in the middle of a body. */
const SILENCE_MS = 30_000;
/** The longest time a document may take to come. */
const DOCUMENT_MS = 60_000;

export interface BodyLimits {
  readonly bytes?: number;
  /** The longest silence in the middle of it. */
  readonly silenceMs?: number;
  /** The longest time for all of it. */
  readonly wholeMs?: number;
}

/**
 * The body as it comes; nothing for a request without one.
 *
 * @throws {MeasureError} `too-slow`, `too-large`
 */
export async function* bodyOf(
  request: Request,
  { bytes = CLIP_BYTES, silenceMs = SILENCE_MS, wholeMs = Infinity }: BodyLimits = {},
): AsyncGenerator<Uint8Array> {
  if (!request.body) return;
  const reader = request.body.getReader();
  const end = performance.now() + wholeMs;
  const late = lateness();
  let read = 0;
  try {
    for (;;) {
      const { done, value } = await late.after(Math.min(silenceMs, end - performance.now()), reader.read());
      if (done) return;
      read += value.length;
      if (read > bytes) throw tooLarge(bytes);
      yield value;
    }
  } finally {
    late.stop();
    reader.releaseLock();
  }
}

/** Waits for one thing after another, each so long; one timer for all, because a large body has ten thousands of parts. */
function lateness() {
  let fail: (error: MeasureError) => void = () => undefined;
  let timer: { readonly handle: NodeJS.Timeout; readonly ms: number } | null = null;
  const stop = () => {
    if (timer) clearTimeout(timer.handle);
    timer = null;
  };
  return {
    after<T>(ms: number, work: Promise<T>): Promise<T> {
      if (timer?.ms === ms) timer.handle.refresh();
      else {
        stop();
        timer = { ms, handle: setTimeout(() => fail(tooSlow(ms)), ms) };
      }
      return new Promise((resolve, reject) => {
        fail = reject;
        work.then(resolve, reject);
      });
    },
    stop,
  };
}

function tooSlow(ms: number): MeasureError {
  return new MeasureError(
    "too-slow",
    `no byte of the body in ${ms} ms`,
    "The window stopped in the middle of sending; nothing was saved. It will send it again.",
  );
}

function tooLarge(bytes: number): MeasureError {
  return new MeasureError(
    "too-large",
    `the body may have ${bytes} bytes`,
    `That is more than Blademark takes in one go (${Math.round(bytes / 2 ** 20)} MB).`,
  );
}

/** How the routes of one host read bodies: all by the same limits. */
export function bodyReaders(limits: BodyLimits = {}) {
  return {
    json: (request: Request, bytes?: number) => jsonBody(request, bytes, limits),
    // A clip may take as long as it takes, as long as it comes.
    stream: (request: Request) => bodyOf(request, { ...limits, wholeMs: Infinity }),
  };
}

export type BodyReaders = ReturnType<typeof bodyReaders>;
