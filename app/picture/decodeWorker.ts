/** Fetches one JPEG and decodes it off the main thread; the bitmap is handed over, not copied. */

export interface DecodeRequest {
  readonly id: number;
  /** Absent: stop working on `id`. */
  readonly url?: string;
  /** A person waits: the picture may come in so many pixels first, fewer by `by` each way. */
  readonly coarse?: { readonly width: number; readonly height: number; readonly by: number } | undefined;
}

export type DecodeAnswer =
  | {
      readonly id: number;
      readonly bitmap: ImageBitmap;
      readonly frame: number | null;
      /** Absent: in fewer pixels; the same picture in all of them follows. */
      readonly whole?: true;
    }
  | { readonly id: number; readonly error: string };

const underWay = new Map<number, AbortController>();

self.onmessage = async ({ data: { id, url, coarse } }: MessageEvent<DecodeRequest>) => {
  if (url === undefined) {
    underWay.get(id)?.abort();
    return;
  }
  const controller = new AbortController();
  const { signal } = controller;
  underWay.set(id, controller);
  /** Closed here where nobody wants it any more: the way to the window and back would only keep its memory. */
  const give = (bitmap: ImageBitmap, frame: number | null, whole?: true) => {
    if (signal.aborted) bitmap.close();
    else
      self.postMessage({ id, bitmap, frame, ...(whole && { whole }) } satisfies DecodeAnswer, {
        transfer: [bitmap],
      });
    signal.throwIfAborted();
  };
  try {
    // It comes from this machine: the browser's own copy of it would take longer than another answer.
    const response = await fetch(url, { signal, cache: "no-store" });
    if (!response.ok) throw new Error(await sentence(response));
    const header = response.headers.get("x-blademark-frame");
    const frame = header === null ? null : Number(header);
    if (coarse && "ImageDecoder" in self) {
      const bytes = await response.arrayBuffer();
      signal.throwIfAborted();
      let done = false;
      const first = inFewerPixels(bytes, coarse).then((bitmap) => {
        if (done || signal.aborted) bitmap?.close();
        else if (bitmap) give(bitmap, frame);
      });
      if (!sideBySide(coarse)) await first;
      signal.throwIfAborted();
      try {
        give(await createImageBitmap(new Blob([bytes], { type: "image/jpeg" })), frame, true);
      } finally {
        // Too late for fewer pixels, also where the whole picture could not be decoded.
        done = true;
      }
      await first;
    } else give(await createImageBitmap(await response.blob()), frame, true);
  } catch (error) {
    self.postMessage({
      id,
      error: error instanceof Error ? error.message : String(error),
    } satisfies DecodeAnswer);
  } finally {
    underWay.delete(id);
  }
};

/** A picture of more pixels than this is very large. */
const VERY_LARGE = 4e6;

/**
 * Whether all the pixels are begun on beside the fewer ones, so that they come sooner. Where a second thread is all
 * there is, only for very large pictures (measured on two: 4K in all its pixels 15 ms sooner, at first 3 ms later; at
 * 1080p nothing won).
 */
function sideBySide({ width, height, by }: NonNullable<DecodeRequest["coarse"]>): boolean {
  return width * height * by ** 2 > VERY_LARGE || navigator.hardwareConcurrency > 2;
}

/**
 * The same picture in fewer pixels, to which a JPEG can be decoded in a third to half of the time; null when that fails,
 * as it then will once more with the whole picture.
 */
async function inFewerPixels(
  jpeg: ArrayBuffer,
  { width, height }: { readonly width: number; readonly height: number },
): Promise<ImageBitmap | null> {
  const decoder = new ImageDecoder({
    data: jpeg,
    type: "image/jpeg",
    desiredWidth: width,
    desiredHeight: height,
  });
  try {
    const { image } = await decoder.decode();
    try {
      return await createImageBitmap(image);
    } finally {
      image.close();
    }
  } catch {
    return null;
  } finally {
    decoder.close();
  }
}

async function sentence(response: Response): Promise<string> {
  const body: unknown = await response.json().catch(() => null);
  const own = body && typeof body === "object" && "error" in body ? String(body.error) : null;
  return own ?? `The frame could not be fetched (status ${response.status}).`;
}
