/** Reads what one ffmpeg run says on standard error (`-loglevel repeat+level+info`): facts, frame times, problems. */

/** What the container and the stream say of themselves. */
export interface ClipFacts {
  /** ffmpeg's name of the container's reader, e.g. "mov,mp4,m4a,3gp,3g2,mj2". */
  readonly container: string;
  readonly codec: string;
  readonly pixelFormat: string;
  /** Transfer function named by the stream, e.g. "arib-std-b67"; empty when it names none. */
  readonly transfer: string;
  readonly interlaced: boolean;
  /** Degrees clockwise by which the coded picture is turned for display. */
  readonly rotation: 0 | 90 | 180 | 270;
  readonly declaredRate: number | null;
  /** Seconds, the longest stream's (often the sound's). */
  readonly declaredDuration: number | null;
  /** Seconds, the earliest stream's. */
  readonly declaredStart: number;
}

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
  facts: ClipFacts;
  timebase: Timebase | null;
  readonly problems: Problem[];
  frames: number;
}

const NO_FACTS: ClipFacts = {
  container: "",
  codec: "unknown",
  pixelFormat: "",
  transfer: "",
  interlaced: false,
  rotation: 0,
  declaredRate: null,
  declaredDuration: null,
  declaredStart: 0,
};

const FRAME = /\bn: *\d+ pts: *(NOPTS|-?\d+) .*? sar:(\d+)\/(\d+) s:(\d+)x(\d+) i:(\S) iskey:(\d) type:(\S)/;

/** Damage that ffmpeg speaks of more softly than of an error: lost packets, and pictures mended by the decoder. */
const DAMAGE =
  /\b(corrupt decoded frame|corrupt input packet|Packet corrupt|concealing \d+ .*errors|Missing reference)\b/;

/**
 * A reader to be fed line by line; `onFrame` is called for every frame the decoder gives, in order.
 * The log object fills as lines come.
 */
export function readDecodeLog(onFrame: (frame: DecodedFrame) => void): {
  readonly log: DecodeLog;
  line(text: string): void;
} {
  const log: DecodeLog = { facts: NO_FACTS, timebase: null, problems: [], frames: 0 };
  let inInput = false;
  let sawVideo = false;
  let decoding = false;

  function inputLine(text: string): void {
    const duration = /Duration: (\d+):(\d+):([\d.]+)(?:, start: (-?[\d.]+))?/.exec(text);
    if (duration) {
      const [h = 0, m = 0, s = 0, start = 0] = duration.slice(1).map((text) => Number(text ?? 0));
      log.facts = { ...log.facts, declaredDuration: h * 3600 + m * 60 + s, declaredStart: start };
    }
    const video = /Stream #0:\d+.*?: Video: (.*)$/.exec(text)?.[1];
    if (video && /\(attached pic\)/.test(video)) return;
    if (video && !sawVideo) {
      sawVideo = true;
      log.facts = { ...log.facts, ...videoFacts(video) };
    }
    const turned = /displaymatrix: rotation of (-?[\d.]+) degrees/.exec(text)?.[1];
    if (turned !== undefined && sawVideo) log.facts = { ...log.facts, rotation: clockwise(Number(turned)) };
  }

  return {
    log,
    line(text) {
      const level = /\[(info|warning|error|fatal|panic)\] /.exec(text);
      // Also behind a message that ends without a new line.
      const base = /\bconfig in time_base: (\d+)\/(\d+)/.exec(text);
      if (base) log.timebase = { num: Number(base[1]), den: Number(base[2]) };
      if (text.includes("Parsed_showinfo")) {
        const frame = FRAME.exec(text);
        if (frame) {
          const [, pts, sarNum, sarDen, width, height, scan, isKey, type] = frame;
          log.frames += 1;
          // Streams that do not say it at the start still say it with each frame.
          if (scan === "T" || scan === "B") log.facts = { ...log.facts, interlaced: true };
          onFrame({
            pts: pts === "NOPTS" ? null : Number(pts),
            width: Number(width),
            height: Number(height),
            // 0/1 is how ffmpeg writes "not said"; such pixels are taken as square.
            pixelAspect: Number(sarNum) > 0 && Number(sarDen) > 0 ? Number(sarNum) / Number(sarDen) : 1,
            // Periodic refresh calls a P picture key; it mends the picture only bit by bit.
            key: isKey === "1" && type === "I",
          });
          return;
        }
        return;
      }
      const input = /\[info\] Input #0, (.+?), from /.exec(text);
      if (input) {
        inInput = true;
        log.facts = { ...log.facts, container: input[1]! };
      } else if (/\[info\] (Output #|Stream mapping)/.test(text)) {
        inInput = false;
        decoding = true;
      } else if (inInput) inputLine(text);
      // Of our own output, not of the clip: the null muxer minds times that do not advance.
      if (/non monotonically increasing dts to muxer/.test(text)) return;
      const serious = level && level[1] !== "info" && level[1] !== "warning";
      if (!serious && (inInput || !DAMAGE.test(text))) return;
      const said = text.replace(/\[[^\]]* @ 0x[0-9a-f]+\] /g, "").replace(/^.*?\[\w+\] /, "");
      log.problems.push({ nearFrame: decoding ? log.frames : null, text: DAMAGE.exec(said)?.[0] ?? said });
    },
  };
}

function videoFacts(video: string): Partial<ClipFacts> {
  const format = /, (\w+)\(([^)]*)\)/.exec(video);
  const said = format?.[2]?.split(/[,/] */) ?? [];
  const rate = /, ([\d.]+)(k?) fps/.exec(video);
  return {
    codec: /^\w+/.exec(video)?.[0] ?? "unknown",
    pixelFormat: format?.[1] ?? /, (\w+)/.exec(video)?.[1] ?? "",
    transfer: said.find((word) => word === "arib-std-b67" || word === "smpte2084") ?? "",
    interlaced: said.some((word) => /(top|bottom) (first|coded)/.test(word)),
    declaredRate: rate ? Number(rate[1]) * (rate[2] ? 1000 : 1) : null,
  };
}

/** ffmpeg states the turn counter-clockwise; people and `frames --json` mean clockwise. */
function clockwise(counterClockwiseDeg: number): ClipFacts["rotation"] {
  const quarter = Math.round(-counterClockwiseDeg / 90);
  return ((((quarter % 4) + 4) % 4) * 90) as ClipFacts["rotation"];
}
