/** More than this is not kept waiting for the disk. */
const MOST_WAITING_BYTES = 8e6;

/** Gives `write` what has come since its last call, one call at a time, while more is being read. */
export async function whileReading(
  output: AsyncIterable<Uint8Array>,
  write: (part: Buffer) => Promise<void>,
): Promise<void> {
  let waiting: Uint8Array[] = [];
  let bytes = 0;
  let failure: { readonly error: unknown } | null = null;
  let writing: Promise<void> | null = null;

  async function writeAll(): Promise<void> {
    while (waiting.length > 0) {
      const part = Buffer.concat(waiting);
      waiting = [];
      bytes = 0;
      await write(part);
    }
  }

  for await (const chunk of output) {
    waiting.push(chunk);
    bytes += chunk.length;
    writing ??= writeAll()
      .catch((error: unknown) => {
        failure = { error };
      })
      .finally(() => {
        writing = null;
      });
    if (bytes > MOST_WAITING_BYTES) await writing;
    if (failure) break;
  }
  await writing;
  // What came while the last call was just ending.
  if (!failure) await writeAll();
  else throw (failure as { readonly error: unknown }).error;
}
