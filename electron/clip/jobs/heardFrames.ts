import { displayedSize } from "../ffmpeg/decode.ts";
import type { DecodedFrame, DecodeLog, Problem } from "../ffmpeg/decodeLog.ts";
import type { Stated } from "../ffmpeg/stated.ts";
import { FramePairing, type PairedFrame } from "../store/framePairing.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { clipFacts } from "../store/frameTimes.ts";
import type { PacketPlan } from "./packetPlan.ts";
import type { Stretch } from "./stretch.ts";

export type RunEnd =
  /** Everything asked for is in the store. */
  | "done"
  /** The clip ended; its number of frames is in the store. */
  | "end-of-clip"
  | "interrupted"
  /** What came does not fit what the packets or an earlier decode said. */
  | "differs";

/** What one run says of the frames it decodes, held to what the packets and earlier runs said. */
export class HeardFrames {
  readonly pairing: FramePairing;
  /** Something came that does not fit; nothing more is heard. */
  differs = false;
  readonly #store: FrameStore;
  readonly #header: Stated;
  readonly #plan: PacketPlan | null;
  readonly #stretch: Stretch;
  #sizeChange = false;
  /** Frames shown before the clean start. */
  #leading = 0;
  /** Times of frames that are not prepared now, so that every frame's time is known up to where it is. */
  readonly #timesOnly: string[] = [];

  constructor(store: FrameStore, header: Stated, plan: PacketPlan | null, stretch: Stretch) {
    this.#store = store;
    this.#header = header;
    this.#plan = plan;
    this.#stretch = stretch;
    this.pairing = new FramePairing(stretch.from, store.bytes, stretch.start?.ordinal ?? 0);
  }

  /** The run gave its next frame. */
  take(frame: DecodedFrame, log: DecodeLog): void {
    if (this.#sizeChange || this.differs) return;
    const { start, from, until } = this.#stretch;
    const ordinal = this.pairing.timesSeen;
    // Shown before the clean start: the end of the group before it.
    if (start && ordinal === start.ordinal && (frame.pts ?? start.pts) < start.pts) {
      this.#leading += 1;
      return;
    }
    if (until !== null && ordinal >= until) return;
    if (this.#changesSize(frame)) {
      // From a clean start nobody can tell how many frames come before; from the clip's start it ends here.
      // It is left to run on: frames before it may still be on their way through the encoder.
      if (start) this.differs = true;
      else this.#sizeChange = true;
      return;
    }
    if (!this.#fits(frame, ordinal)) {
      this.differs = true;
      return;
    }
    this.pairing.addTime(frame.pts, frame.key);
    if (ordinal < from && this.#store.times.length === ordinal) this.#rememberTime(frame.pts);
    this.#describe(frame, log);
  }

  /** Times between what is known and the stretch, as the packets say them: the run itself skips those frames. */
  rememberPlanned(): void {
    const { start, from } = this.#stretch;
    if (!start || !this.#plan?.pts) return;
    for (const pts of this.#plan.pts.slice(this.#store.times.length, from)) this.#rememberTime(pts);
  }

  /** Lines of the store's list for times that have not been written yet. */
  takeTimeLines(): string {
    return this.#timesOnly.splice(0).join("");
  }

  /** Numbered from the run's own first frame; a run from the clip's start has heard everything again. */
  keepProblems(log: DecodeLog): void {
    const { clip } = this.#store;
    if (!clip) return;
    const { start } = this.#stretch;
    const shift = start ? start.ordinal - this.#leading : 0;
    const heard = log.problems.map((p) => ({
      ...p,
      nearFrame: p.nearFrame === null ? null : Math.max(start?.ordinal ?? 0, p.nearFrame + shift),
    }));
    this.#store.clip = {
      ...clip,
      facts: start ? clip.facts : clipFacts(this.#header, log),
      problems: merged(clip.problems, heard),
    };
  }

  /** How the run ended, and the frames that were decoded but never came out of the encoder. */
  ended(interrupted: boolean): { readonly end: RunEnd; readonly rest: PairedFrame[] } {
    const { from, until, start } = this.#stretch;
    if (this.differs) return { end: "differs", rest: [] };
    if (interrupted) return { end: "interrupted", rest: [] };
    const count = this.pairing.timesSeen;
    if (until !== null && count >= until) return { end: "done", rest: this.pairing.takeRest(until) };
    const rest = this.pairing.takeRest();
    const fits =
      // A frame missing at the end of a continued run cannot be told from a filter that started counting again.
      !(rest.length > 0 && from > 0) &&
      !(this.#plan?.pts && count !== this.#plan.pts.length) &&
      // Else frames were shown beyond what a decode from the start reaches.
      (start !== null || this.#store.frames.length <= count);
    return fits ? { end: "end-of-clip", rest } : { end: "differs", rest: [] };
  }

  /** The clip has ended: it has as many frames as were heard. */
  keepCount(log: DecodeLog): void {
    const { clip } = this.#store;
    if (!clip) return;
    this.#store.clip = {
      ...clip,
      facts: clipFacts(this.#header, log),
      count: this.pairing.timesSeen,
      endsAtSizeChange: this.#sizeChange,
    };
  }

  #changesSize(frame: DecodedFrame): boolean {
    const { clip } = this.#store;
    const now = displayedSize(frame, this.#store.turn);
    return clip !== null && (now.width !== clip.width || now.height !== clip.height);
  }

  #fits(frame: DecodedFrame, ordinal: number): boolean {
    const stored = this.#store.times[ordinal];
    if (stored !== undefined && stored !== frame.pts) return false;
    return !this.#plan?.pts || this.#plan.pts[ordinal] === frame.pts;
  }

  #describe(frame: DecodedFrame, log: DecodeLog): void {
    if (this.#store.clip || !log.timebase) return;
    this.#store.clip = {
      facts: clipFacts(this.#header, log),
      timebase: log.timebase,
      ...displayedSize(frame, this.#store.turn),
      problems: [],
      endsAtSizeChange: false,
      count: null,
      packets: this.#plan?.counts ?? null,
    };
  }

  #rememberTime(pts: number | null): void {
    this.#timesOnly.push(this.#store.timeLine(this.#store.times.length, pts));
    this.#store.times.push(pts);
  }
}

/** One a frame is enough: a damaged picture says a hundred things. */
function merged(before: readonly Problem[], heard: readonly Problem[]): Problem[] {
  const all = new Map([...heard, ...before].reverse().map((p) => [p.nearFrame, p]));
  return [...all.values()].sort((a, b) => (a.nearFrame ?? -1) - (b.nearFrame ?? -1));
}
