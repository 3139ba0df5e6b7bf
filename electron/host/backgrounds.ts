import { MeasureError } from "../../src/errors.ts";
import { keptMotion } from "../../src/motion/keptMotion.ts";
import type { BackgroundNews, MotionNews } from "../../src/study/exchange.ts";
import { trialLabel } from "../../src/study/labels.ts";
import { viewWithId } from "../../src/study/trialViews.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { wholeClip } from "../clip/jobs/wholeClip.ts";
import { compareApart } from "../motion/compareApart.ts";
import { followApart } from "../motion/followApart.ts";
import type { Vault } from "../vault/Vault.ts";
import { sourceOf } from "./clips.ts";
import { NewsStreams } from "./newsStream.ts";

/** Frames looked at of each clip, its first and last among them. */
const FRAMES = 8;
/** A person sees no more than ten a second. */
const TELL_EVERY_MS = 100;

/** Looks at what stands still in clips' pictures: of two trials', and of one from frame to frame. */
export function backgroundRoutes(vault: Vault, preparation: Preparation) {
  const streams = new NewsStreams();

  type Tell = (news: BackgroundNews | MotionNews) => void;

  /** A trial's clip once all its frames can be had: which of them matter. */
  async function framesOf(id: string, otherwise: string, tell: Tell, signal: AbortSignal) {
    const source = sourceOf(vault, clipOf(id));
    let told = 0;
    const times = await wholeClip(preparation, source, otherwise, {
      onProgress: (done, of) => {
        if (performance.now() - told < TELL_EVERY_MS) return;
        told = performance.now();
        tell({ kind: "preparing", done, of });
      },
      signal,
    });
    const { first = 0, last = times.length - 1 } = source.part ?? {};
    return { source, first, last: Math.min(last, times.length - 1) };
  }

  async function pictures(id: string, tell: Tell, signal: AbortSignal): Promise<Uint8Array[]> {
    const { source, first, last } = await framesOf(id, "so it can't be compared", tell, signal);
    const jpegs: Uint8Array[] = [];
    for (const frame of spread(first, last)) {
      const answer = await preparation.frame(source, frame);
      if (answer.kind === "frame") jpegs.push(answer.jpeg);
    }
    return jpegs;
  }

  async function follow(id: string, tell: Tell, signal: AbortSignal): Promise<void> {
    const { source, first, last } = await framesOf(id, "so it can't be looked at", tell, signal);
    const following = followApart(signal);
    try {
      let told = 0;
      for (let frame = first; frame <= last; frame++) {
        const answer = await preparation.frame(source, frame);
        await following.add(answer.kind === "frame" ? answer.jpeg : null);
        if (performance.now() - told < TELL_EVERY_MS) continue;
        told = performance.now();
        tell({ kind: "following", done: frame - first + 1, of: last - first + 1 });
      }
      const { motion, size } = await following.end();
      tell({ kind: "followed", found: keptMotion(motion, source.clip, first, size) });
    } finally {
      following.stop();
    }
  }

  /** @throws {MeasureError} `no-clip` */
  function clipOf(id: string): string {
    const clip = viewWithId(vault.study, id)?.clip;
    if (clip !== undefined) return clip;
    const which = vault.study.trials.some((t) => t.id === id) ? trialLabel(vault.study, id) : `"${id}"`;
    throw new MeasureError(
      "no-clip",
      `no clip of ${id}`,
      `No clip is linked to ${which}. Add its clip in Times.`,
    );
  }

  return {
    compare: (trial: string, other: string): Response =>
      streams.start<BackgroundNews>(async (signal, tell) => {
        const like = await pictures(other, tell as Tell, signal);
        const clip = await pictures(trial, tell as Tell, signal);
        tell({ kind: "comparing" });
        tell({ kind: "compared", found: await compareApart({ like, clip }, signal) });
      }, "The clips could not be compared"),

    follow: (trial: string): Response =>
      streams.start<MotionNews>(
        (signal, tell) => follow(trial, tell as Tell, signal),
        "The background could not be looked at",
      ),

    close: () => streams.close(),
  };
}

/** So many frames, evenly from the first to the last. */
function spread(first: number, last: number): number[] {
  const count = Math.max(1, Math.min(FRAMES, last - first + 1));
  return Array.from({ length: count }, (_, k) =>
    Math.round(first + (k * (last - first)) / Math.max(1, count - 1)),
  );
}
