/**
 * Reads what one ffmpeg run says on standard error (`-loglevel repeat+level+info`): frames with their times, and problems.
 *
 * ffmpeg also writes there what a file says of itself (titles, names, chapters), in whatever words the file has. So a line
 * counts as a frame's only behind the name the filter was given for this run, which no file can know; and nothing else is
 * taken from that text than that there was a problem. What a file states of itself is read from its header: stated.ts.
 */
import { randomBytes } from "node:crypto";
import { plainText } from "./boundedLines.ts";

/** One decoded frame in presentation order: its integer time (null = the file gives none) and its picture. */
export interface DecodedFrame {
  readonly pts: number | null;
  readonly width: number;
  readonly height: number;
  /** Width of one pixel over its height. */
  readonly pixelAspect: number;
  /** A whole picture of its own with which decoding begins anew: what was wrong before it is over. */
  readonly key: boolean;
}

export interface Timebase {
  readonly num: number;
  readonly den: number;
}

export interface Problem {
  /**
   * Frames that had come out when it was said. Decoding runs ahead of what comes out, so the first frame it can
   * have spoilt is this one, or one soon after. null = said while the file was being opened.
   */
  readonly nearFrame: number | null;
  readonly text: string;
}

export interface DecodeLog {
  timebase: Timebase | null;
  /** Some frame said that it holds two fields. */
  interlaced: boolean;
  /** Transfer function named by the frames when it is one of HDR, e.g. "arib-std-b67"; else empty. */
  transfer: string;
  readonly problems: Problem[];
  frames: number;
}

/** A name for the filters that print the times, new for each run: 128 bits nobody else has. */
export function secretName(): string {
  return randomBytes(16).toString("hex");
}

/**
 * The filter `showTimes` ("showinfo" or "showinfo=…") under that name. Twice where it costs nothing: some messages of
 * ffmpeg's have no end of a line and swallow the beginning of the next (seen: "Late SEI", in one of ten runs over a clip),
 * and a line lost in the first is there in the second.
 */
export function namedFilter(showTimes: string, name: string): string {
  const named = (which: string) => showTimes.replace(/^showinfo/, `showinfo@${name}${which}`);
  return showTimes === "showinfo" ? named("a") : `${named("a")},${named("b")}`;
}

const FRAME =
  /^n: *(\d+) pts: *(NOPTS|-?\d+) .*? sar:(\d+)\/(\d+) s:(\d+)x(\d+) i:(\S) iskey:(\d) type:(\S)(.*)$/;

/** Damage that ffmpeg speaks of more softly than of an error: lost packets, and pictures mended by the decoder. */
const DAMAGE =
  /\b(corrupt decoded frame|corrupt input packet|Packet corrupt|concealing \d+ .*errors|Missing reference)\b/;

/** A damaged picture says a hundred things, a made-up one without end. */
const MOST_NEAR_ONE = 20;

/**
 * A reader to be fed line by line; `onFrame` is called for every frame the decoder gives, in order. The log object fills
 * as lines come.
 *
 * @param name what the filter was named for this run (`secretName`)
 */
export function readDecodeLog(
  name: string,
  onFrame: (frame: DecodedFrame) => void,
): {
  readonly log: DecodeLog;
  line(text: string): void;
} {
  const log: DecodeLog = { timebase: null, interlaced: false, transfer: "", problems: [], frames: 0 };
  const own = new RegExp(`^\\[showinfo@${name}([ab]) @ (?:0x)?[0-9a-fA-F]+\\] \\[info\\] (.*)$`, "s");
  let decoding = false;
  const counts = new Counts();
  let last: DecodedFrame | null = null;

  function frame(which: string, match: RegExpExecArray): void {
    const [, n, pts, sarNum, sarDen, width, height, scan, isKey, type, rest = ""] = match;
    const now: DecodedFrame = {
      pts: pts === "NOPTS" ? null : Number(pts),
      width: Number(width),
      height: Number(height),
      // 0/1 is how ffmpeg writes "not said"; such pixels are taken as square.
      pixelAspect: Number(sarNum) > 0 && Number(sarDen) > 0 ? Number(sarNum) / Number(sarDen) : 1,
      // Periodic refresh calls a P picture key; it mends the picture only bit by bit.
      key: isKey === "1" && type === "I",
    };
    const ordinal = counts.ordinal(which, Number(n), log.frames);
    // Both lines of a frame were lost. The frame is there all the same; its time is not known.
    while (log.frames < ordinal) give({ ...(last ?? now), pts: null, key: false });
    // Streams that do not say it at the start still say it with each frame.
    if (scan === "T" || scan === "B") log.interlaced = true;
    if (log.frames === ordinal) give(now);
    // Another thread's message ran into the line.
    if (DAMAGE.test(rest) || /\b(error|invalid|missing)\b/i.test(rest)) problem(rest.trim());
  }

  function give(frame: DecodedFrame): void {
    last = frame;
    log.frames += 1;
    onFrame(frame);
  }

  function problem(said: string): void {
    const nearFrame = decoding ? log.frames : null;
    if (log.problems.at(-MOST_NEAR_ONE)?.nearFrame === nearFrame) return;
    log.problems.push({ nearFrame, text: plainText(DAMAGE.exec(said)?.[0] ?? said) });
  }

  return {
    log,
    line(text) {
      const [, which = "", said] = own.exec(text) ?? [];
      if (said !== undefined) {
        const match = FRAME.exec(said);
        if (match) return frame(which, match);
        const base = /^config in time_base: (\d+)\/(\d+)/.exec(said);
        if (base) log.timebase = { num: Number(base[1]), den: Number(base[2]) };
        const transfer = /^color_range:.* color_trc:(arib-std-b67|smpte2084)\b/.exec(said)?.[1];
        if (transfer) log.transfer = transfer;
        return;
      }
      const [, context, level, words = ""] =
        /^((?:\[[^\]]* @ (?:0x)?[0-9a-fA-F]+\] )*)\[(info|warning|error|fatal|panic)\] (.*)$/s.exec(text) ??
        [];
      if (level === undefined) return;
      if (context === "" && /^(Output #|Stream mapping)/.test(words)) decoding = true;
      // Of our own output, not of the clip: the null muxer minds times that do not advance.
      if (/non monotonically increasing dts to muxer/.test(words)) return;
      const serious = level !== "info" && level !== "warning";
      // What a file says of itself is printed without a part of ffmpeg in front of it.
      const damage = DAMAGE.test(words) && (context !== "" || level === "warning");
      if (serious || damage) problem(words);
    },
  };
}

/** Turns what each of the filters counts into the number of the frame: they begin anew when ffmpeg builds them again. */
class Counts {
  /** The first frame since they were built for the first, second, ... time. */
  readonly #begins: number[] = [0];
  readonly #seen = new Map<string, { readonly built: number; readonly n: number }>();

  ordinal(which: string, n: number, frames: number): number {
    const before = this.#seen.get(which) ?? { built: 0, n: -1 };
    const built = n > before.n ? before.built : before.built + 1;
    this.#begins[built] ??= frames;
    this.#seen.set(which, { built, n });
    return this.#begins[built]! + n;
  }
}
