/** Fetches one JPEG and decodes it off the main thread; the bitmap is handed over, not copied. */

export interface DecodeRequest {
  readonly id: number;
  /** Absent: stop working on `id`. */
  readonly url?: string;
}

export type DecodeAnswer =
  | { readonly id: number; readonly bitmap: ImageBitmap; readonly frame: number | null }
  | { readonly id: number; readonly error: string };

const underWay = new Map<number, AbortController>();

self.onmessage = async ({ data: { id, url } }: MessageEvent<DecodeRequest>) => {
  if (url === undefined) {
    underWay.get(id)?.abort();
    return;
  }
  const controller = new AbortController();
  underWay.set(id, controller);
  try {
    const response = await fetch(url, { signal: controller.signal });
    if (!response.ok) throw new Error(await sentence(response));
    const bitmap = await createImageBitmap(await response.blob());
    const header = response.headers.get("x-blademark-frame");
    const frame = header === null ? null : Number(header);
    self.postMessage({ id, bitmap, frame } satisfies DecodeAnswer, { transfer: [bitmap] });
  } catch (error) {
    self.postMessage({
      id,
      error: error instanceof Error ? error.message : String(error),
    } satisfies DecodeAnswer);
  } finally {
    underWay.delete(id);
  }
};

async function sentence(response: Response): Promise<string> {
  const body: unknown = await response.json().catch(() => null);
  const own = body && typeof body === "object" && "error" in body ? String(body.error) : null;
  return own ?? `The frame could not be had (status ${response.status}).`;
}
