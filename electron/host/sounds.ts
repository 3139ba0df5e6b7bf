import { MeasureError } from "../../src/errors.ts";
import type { SoundNews } from "../../src/study/exchange.ts";
import { trialOfView, viewsOf } from "../../src/study/trialViews.ts";
import type { KeptSound } from "../../src/study/types.ts";
import { keptSound } from "../../src/trials/keptSound.ts";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { bothHeard, hear } from "../sound/hear.ts";
import { listenApart } from "../sound/listenApart.ts";
import type { Vault } from "../vault/Vault.ts";
import { sourceOf } from "./clips.ts";
import { NewsStreams } from "./newsStream.ts";

/** Listens to the clips of two views of one trial. */
export function soundRoutes(vault: Vault, preparation: Preparation) {
  const streams = new NewsStreams();

  async function heardOf(id: string, clip: string, signal: AbortSignal) {
    const file = await preparation.fileOf(sourceOf(vault, clip));
    const times = (vault.marksOf(id)?.events ?? []).map(({ time }) => time);
    return hear(await findFfmpeg(), file, times, signal);
  }

  async function listen(
    view: string,
    tell: (news: SoundNews) => void,
    signal: AbortSignal,
  ): Promise<KeptSound> {
    const trial = trialOfView(vault.study, view);
    const views = trial ? viewsOf(trial) : [];
    const [first, own] = [views[0], views.slice(1).find(({ id }) => id === view)];
    if (first?.clip === undefined || own?.clip === undefined)
      throw new MeasureError(
        "no-clip",
        `${view} is no further view with a clip beside another's`,
        "Listening needs the clips of two views of one trial. Add them in Times.",
      );
    const clips = { clip: own.clip, with: first.clip };
    tell({ kind: "listening", view: 1 });
    const one = await heardOf(first.id, first.clip, signal);
    tell({ kind: "listening", view: views.indexOf(own) + 1 });
    const both = bothHeard(one, await heardOf(own.id, own.clip, signal));
    tell({ kind: "comparing" });
    return keptSound(clips, "first" in both ? await listenApart(both, signal) : both);
  }

  return {
    listen: (view: string): Response =>
      streams.start<SoundNews>(async (signal, tell) => {
        tell({ kind: "heard", found: await listen(view, tell, signal) });
      }, "The clips could not be listened to"),

    close: () => streams.close(),
  };
}
