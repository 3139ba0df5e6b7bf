import type { PairedFrame } from "./framePairing.ts";

/** The lines of a store's list, before they are sealed. */

/** A frame of a store, with what its JPEG must hash to. */
export interface StoredFrame extends PairedFrame {
  readonly hash: string;
}

export function frameText({ ordinal, offset, length, pts, key, hash }: StoredFrame): string {
  return `${ordinal} ${offset} ${length} ${pts ?? "x"} ${key ? "k" : "-"} ${hash}`;
}

/** Only the time is known of this frame. */
export function timeText(ordinal: number, pts: number | null): string {
  return `${ordinal} ${pts ?? "x"}`;
}

/**
 * Frames whose line and picture are whole; the first that is not ends the list, as a killed program leaves it.
 *
 * @param size bytes of all pictures
 * @param signed the line as the store writes it, with its seal
 */
export function wholeLines(list: string, size: number, signed: (text: string) => string) {
  const frames: StoredFrame[] = [];
  const times = new Map<number, number | null>();
  const seen = new Set<number>();
  let end = 0;
  // A line without its newline was being written when the program ended.
  for (const line of list.slice(0, list.lastIndexOf("\n") + 1).split("\n")) {
    const text = line.slice(0, -33);
    if (`${line}\n` !== signed(text)) break;
    const match = /^(\d+)(?: (\d+) (\d+))? (-?\d+|x)(?: ([k-]) ([0-9a-f]{32}))?$/.exec(text);
    if (!match) break;
    const ordinal = Number(match[1]);
    const pts = match[4] === "x" ? null : Number(match[4]);
    if (match[2] === undefined) {
      times.set(ordinal, pts);
      continue;
    }
    const [offset, length] = [Number(match[2]), Number(match[3])];
    if (offset !== end || offset + length > size || seen.has(ordinal)) break;
    seen.add(ordinal);
    frames.push({ ordinal, offset, length, pts, key: match[5] === "k", hash: match[6] as string });
    end += length;
  }
  return { frames, times };
}
