import { basename } from "node:path";
import { MeasureError } from "../../../src/errors.ts";

/**
 * The computer a path leads to when merely touching it calls there; null for a path on this machine. Windows gives the
 * person's name and a proof of their password to any server that a path names (\\server\share, also as \\?\UNC\server or
 * //server/share), so a study could have them sent anywhere. Of a drive letter or a folder where a share is mounted already
 * nothing can be told; there the person has signed in before. macOS and Linux call only through their automounters.
 */
export function shareOf(path: string, platform: NodeJS.Platform = process.platform): string | null {
  if (platform !== "win32") {
    const [, , mounted = null] =
      /^\/(net|Network\/Servers)\/+([^/]+)/.exec(path.replace(/\/+(\.?\/+)*/g, "/")) ?? [];
    return mounted;
  }
  const plain = path.replaceAll("/", "\\");
  if (!plain.startsWith("\\\\")) return null;
  // \\?\C:\... and \\.\C:\... are drives of this machine; what else stands there may lead anywhere.
  if (/^\\\\[?.]\\[A-Za-z]:(\\|$)/.test(plain)) return null;
  const [server = "", share = ""] = plain
    .replace(/^\\\\[?.]\\(UNC\\)?/i, "")
    .split("\\")
    .filter((part) => part !== "");
  return `\\\\${server}\\${share}`.toLowerCase();
}

/** Shares that clips may be opened from: the study's own, those a person agreed to in this run, and those named in BLADEMARK_SHARES (parted by ";"). */
export class Shares {
  readonly #agreed: Set<string>;
  readonly #platform: NodeJS.Platform;

  constructor(named = process.env.BLADEMARK_SHARES ?? "", platform = process.platform) {
    this.#platform = platform;
    const paths = named.split(";").map((path) => path.trim());
    this.#agreed = new Set(paths.flatMap((path) => shareOf(path, platform) ?? []));
  }

  /** The share of `file` that nobody has agreed to yet; null when it may be touched. */
  unasked(file: string, studyFolder: string): string | null {
    const share = shareOf(file, this.#platform);
    if (share === null || this.#agreed.has(share) || share === shareOf(studyFolder, this.#platform))
      return null;
    return share;
  }

  /** A person agreed, for as long as the program runs. */
  agree(file: string): void {
    const share = shareOf(file, this.#platform);
    if (share !== null) this.#agreed.add(share);
  }

  /** @throws {MeasureError} `clip-on-share` */
  mustBeAgreed(file: string, studyFolder: string): void {
    const share = this.unasked(file, studyFolder);
    if (share !== null) throw onShare(file, share);
  }
}

export function onShare(file: string, share: string): MeasureError {
  return new MeasureError(
    "clip-on-share",
    `${file} lies on ${share}, to which nobody agreed`,
    `"${basename(file.replaceAll("\\", "/"))}" lies on another computer (${share}), so it was not touched: opening it may send your name and a proof of your password there. Agree only if you know that computer, in the window beside the clip or by naming it in BLADEMARK_SHARES; or copy the clip to this one.`,
  );
}
