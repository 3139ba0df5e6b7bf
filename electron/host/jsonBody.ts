import { MeasureError } from "../../src/errors.ts";

/** A trial with 100,000 marks is about 12 MB. */
const LIMIT_BYTES = 32 * 2 ** 20;

/** @throws {MeasureError} `not-json`, `too-large`, `broken-json` */
export async function jsonBody(request: Request, limit = LIMIT_BYTES): Promise<unknown> {
  if (!/^application\/json\b/.test(request.headers.get("content-type") ?? "")) {
    throw new MeasureError(
      "not-json",
      "the body needs content-type application/json",
      "The window sent something else than JSON.",
    );
  }
  const parts: Uint8Array[] = [];
  let bytes = 0;
  for await (const part of bodyOf(request)) {
    bytes += part.length;
    if (bytes > limit) {
      throw new MeasureError(
        "too-large",
        `the body may have ${limit} bytes`,
        `That is more than Blademark saves in one go (${Math.round(limit / 2 ** 20)} MB).`,
      );
    }
    parts.push(part);
  }
  try {
    return JSON.parse(Buffer.concat(parts).toString("utf8"));
  } catch {
    throw new MeasureError(
      "broken-json",
      "the body is not JSON",
      "The window sent a broken document; nothing was saved.",
    );
  }
}

/** The body as it comes; nothing for a request without one. */
export async function* bodyOf(request: Request): AsyncGenerator<Uint8Array> {
  if (!request.body) return;
  const reader = request.body.getReader();
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      yield value;
    }
  } finally {
    reader.releaseLock();
  }
}
