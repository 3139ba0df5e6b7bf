import { open, stat } from "node:fs/promises";
import { basename } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import type { DecodeLog } from "./decodeLog.ts";

/** What identifies a file's content without reading it. */
export interface FileStamp {
  readonly bytes: number;
  readonly mtimeMs: number;
}

/**
 * Looks at the file before ffmpeg does, for failures with a plainer sentence than ffmpeg's.
 *
 * @throws {MeasureError} `clip-missing`, `clip-is-folder`, `clip-empty`, `clip-unreadable`
 */
export async function checkClipFile(file: string): Promise<FileStamp> {
  const name = basename(file);
  const fail = (code: string, coach: string) =>
    new MeasureError(code, `a clip needs a readable file; ${file}`, coach);
  try {
    const found = await stat(file);
    if (found.isDirectory())
      throw fail("clip-is-folder", `"${name}" is a folder. Choose the video file inside it.`);
    if (!found.isFile()) throw fail("clip-unreadable", `"${name}" is not a file that can be read as video.`);
    if (found.size === 0) {
      throw fail("clip-empty", `"${name}" is empty (0 bytes). Copy it from the camera again.`);
    }
    return { bytes: found.size, mtimeMs: found.mtimeMs };
  } catch (error) {
    if (error instanceof MeasureError) throw error;
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR") {
      throw fail(
        "clip-missing",
        `The clip "${name}" is not where it was (${file}). Put it back, or add it again.`,
      );
    }
    throw fail(
      "clip-unreadable",
      `"${name}" cannot be read (${code ?? "unknown reason"}). Check its permissions.`,
    );
  }
}

/** Codes of what `nothingDecoded` finds: no picture will ever come of such a file. */
export const NO_FILM: ReadonlySet<string> = new Set([
  "clip-no-picture",
  "clip-incomplete",
  "clip-not-video",
  "clip-undecodable",
]);

/** The sentence for a clip of which not one frame could be decoded. */
export async function nothingDecoded(file: string, log: DecodeLog): Promise<MeasureError> {
  const name = basename(file);
  const said = log.problems.map((p) => p.text).join("\n");
  const first = log.problems[0]?.text ?? "ffmpeg gave no reason";
  const [code, coach] = await reason();
  return new MeasureError(code, `no frame decoded from ${file}: ${first}`, coach);

  async function reason(): Promise<[code: string, coach: string]> {
    if (/matches no streams/.test(said))
      return ["clip-no-picture", `"${name}" has no picture, only sound or data. Choose the video file.`];
    const missing = await missingBytes(file);
    if (missing !== null && (missing > 0 || /moov atom not found/.test(said)))
      return [
        "clip-incomplete",
        `"${name}" is incomplete${missing > 0 ? ` (at least ${missing} bytes are missing at its end)` : ""}: the part that says where its frames are is not whole, as when a recording or copy was cut off. Copy it from the camera again.`,
      ];
    if (/moov atom not found|Invalid data found|not on whitelist|could not find codec parameters/i.test(said))
      return ["clip-not-video", `"${name}" is not a video file. Choose the clip as it came from the camera.`];
    return [
      "clip-undecodable",
      `No frame of "${name}" could be decoded (${first}). Copy it again, or convert it.`,
    ];
  }
}

const FIRST_BOXES = ["ftyp", "moov", "mdat", "wide", "free", "skip"];

/**
 * How many bytes an MP4 or MOV lacks at its end, by the lengths its boxes state (ISO/IEC 14496-12, 4.2); null when the
 * file does not begin like one. ffmpeg misses an index in any file called .mp4, also in one that never was an MP4.
 */
async function missingBytes(file: string): Promise<number | null> {
  const handle = await open(file, "r");
  try {
    const { size } = await handle.stat();
    for (let at = 0; at < size; ) {
      const { buffer, bytesRead } = await handle.read(Buffer.alloc(16), 0, 16, at);
      if (at === 0 && !FIRST_BOXES.includes(buffer.toString("latin1", 4, 8))) return null;
      if (bytesRead < 8) return 8 - bytesRead;
      const short = buffer.readUInt32BE(0);
      // 1: the length follows in 64 bits; 0: to the end of the file.
      const length = short === 1 ? Number(buffer.readBigUInt64BE(8)) : short === 0 ? size - at : short;
      if (length < 8) return 0;
      at += length;
      if (at > size) return at - size;
    }
    return 0;
  } finally {
    await handle.close();
  }
}
