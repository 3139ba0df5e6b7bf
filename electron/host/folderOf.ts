import { homedir } from "node:os";
import { isAbsolute, join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";

/**
 * The folder a person typed: a whole path, or one that begins in their home.
 *
 * @throws {MeasureError} `no-path`
 */
export function folderOf(typed: string): string {
  const text = typed.trim().replace(/[/\\]study\.json$/, "");
  const path = /^~(?=[/\\]|$)/.test(text) ? join(homedir(), text.slice(1)) : text;
  if (isAbsolute(path) && !path.includes("\0")) return resolve(path);
  throw new MeasureError(
    "no-path",
    `a study's folder must be a whole path, got ${JSON.stringify(typed)}`,
    "Type the whole path of the folder, from / (or C:\\ , or ~ for your home) on.",
  );
}
