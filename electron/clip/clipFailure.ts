import { open, stat } from "node:fs/promises";
import { basename } from "node:path";
import { MeasureError } from "../../src/errors.ts";
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
    // ffmpeg misses an MP4's index in any file called .mp4, also in one that never was an MP4.
    if (/moov atom not found/.test(said) && (await beginsLikeMp4(file)))
      return [
        "clip-incomplete",
        `"${name}" is incomplete: the part that says where its frames are is missing, as when a recording or copy was cut off. Copy it from the camera again.`,
      ];
    if (/moov atom not found|Invalid data found|not on whitelist|could not find codec parameters/i.test(said))
      return ["clip-not-video", `"${name}" is not a video file. Choose the clip as it came from the camera.`];
    return [
      "clip-undecodable",
      `No frame of "${name}" could be decoded (${first}). Copy it again, or convert it.`,
    ];
  }
}

/** An MP4 or MOV begins with a box: four bytes of length, then one of a few names (ISO/IEC 14496-12, 4.2). */
async function beginsLikeMp4(file: string): Promise<boolean> {
  const handle = await open(file, "r");
  try {
    const { buffer } = await handle.read(Buffer.alloc(8), 0, 8, 0);
    return ["ftyp", "moov", "mdat", "wide", "free", "skip"].includes(buffer.toString("latin1", 4, 8));
  } finally {
    await handle.close();
  }
}
