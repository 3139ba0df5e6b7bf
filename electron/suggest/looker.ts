import { MeasureError } from "../../src/errors.ts";
import { suggestText } from "../../src/suggest/suggestJson.ts";
import { beforeLooking } from "../../src/suggest/suggestTrial.ts";
import { failure } from "../failure.ts";
import { ClipEyes, type Remembered } from "./lookAt.ts";
import type { FromLooker, ToLooker } from "./messages.ts";
import { MODELS, type PoseModels, poseModels } from "./poseModels.ts";
import { suggestFrom } from "./suggestStudy.ts";

/** The way to the host. */
export interface Line {
  send(message: FromLooker): void;
  hear(listen: (message: ToLooker) => void): void;
}

/**
 * Works out suggestions in a process of its own, one task at a time, so that neither stepping nor saving waits for it. Frames
 * come from the host, which decides when; models are loaded with the first task and stay.
 */
export function looker({ send, hear }: Line): void {
  const frames = new Map<number, { resolve: (jpeg: Uint8Array) => void; reject: (error: Error) => void }>();
  let models: Promise<PoseModels> | null = null;
  let seen: { clip: string; eyes: ClipEyes; remembered: Remembered } | null = null;
  let stop = new AbortController();

  const jpeg = (frame: number) =>
    new Promise<Uint8Array>((resolve, reject) => {
      frames.set(frame, { resolve, reject });
      send({ kind: "want", frame });
    });
  const eyesOf = (clip: string, remembered: Remembered | null) => {
    if (seen?.clip === clip) return seen;
    const all = remembered ?? { quick: {}, close: {} };
    const watched = {
      jpeg,
      models: () => {
        models ??= poseModels().catch((error: unknown) => {
          // Whoever puts the files back need not start anew.
          models = null;
          throw error;
        });
        return models;
      },
    };
    seen = { clip, eyes: new ClipEyes(watched, all), remembered: all };
    return seen;
  };

  async function run({ clip, task, remembered }: ToLooker & { kind: "task" }): Promise<void> {
    stop = new AbortController();
    try {
      const early = beforeLooking(task.marks, MODELS.thunder.weights);
      if (early.isAll) {
        send({ kind: "done", text: suggestText(task.trial, early.known), remembered: null });
        return;
      }
      const all = eyesOf(clip, remembered);
      const before = countOf(all.remembered);
      const eyes = await all.eyes.follow({
        start: task.start,
        range: task.range,
        onFrame: (done, of) => send({ kind: "progress", done, of }),
        signal: stop.signal,
      });
      const found = await suggestFrom(task.marks, { ...eyes, realInterval: task.realInterval });
      const isNew = countOf(all.remembered) > before;
      send({
        kind: "done",
        text: suggestText(task.trial, found),
        remembered: isNew ? all.remembered : null,
      });
    } catch (error) {
      send(failure(error, "Suggesting failed by a mistake in Blademark. Mark by hand; nothing is lost."));
    }
  }

  hear((message) => {
    if (message.kind === "task") void run(message);
    else if (message.kind === "stop") stop.abort();
    else {
      const waiting = frames.get(message.frame);
      frames.delete(message.frame);
      if (message.kind === "frame") waiting?.resolve(message.jpeg);
      else waiting?.reject(new MeasureError("frame-gone", message.why, message.why));
    }
  });
}

function countOf({ quick, close }: Remembered): number {
  return Object.keys(quick).length + Object.keys(close).length;
}
