import type { ClipIndex } from "../../src/study/exchange.ts";
import { sizeChanges } from "./frameIndex.ts";
import type { FrameStore } from "./frameStore.ts";
import { clipWarnings, type FrameTimes, frameTimes } from "./frameTimes.ts";

/** Times of a store, computed again only when it has grown. */
const remembered = new WeakMap<FrameStore, { readonly count: number; readonly times: FrameTimes }>();

function timesOf(store: FrameStore): FrameTimes {
  const count = store.frames.length;
  const before = remembered.get(store);
  if (before?.count === count) return before.times;
  const times = frameTimes(
    store.frames.map((f) => f.pts),
    store.clip?.timebase ?? { num: 0, den: 1 },
  );
  remembered.set(store, { count, times });
  return times;
}

/** The index the window is given: as far as the store has come, times only from `from` on. */
export function storeIndex(
  clip: string,
  state: ClipIndex["state"],
  store: FrameStore | null,
  failure: string | null,
  from = 0,
  to = Number.POSITIVE_INFINITY,
): ClipIndex & { readonly timesFrom: number } {
  if (!store?.clip || store.frames.length === 0) {
    return {
      ...{
        clip,
        state,
        ready: 0,
        count: 0,
        countIsExact: false,
        times: [],
        timesFrom: 0,
        width: 0,
        height: 0,
      },
      ...{ rotation: 0, codec: "", rateMedianHz: null, variableRate: false, warnings: [], failure },
    };
  }
  const { facts, width, height, problems, endsAtSizeChange } = store.clip;
  const { times, rateMedianHz, variableRate, warnings } = timesOf(store);
  const ready = times.length;
  const whole = state === "ready";
  const expected = Math.round((facts.declaredDuration ?? 0) * (facts.declaredRate ?? 0));
  const all = [...warnings];
  if (whole) all.push(...clipWarnings(facts, problems, ready, times[ready - 1] ?? 0, rateMedianHz));
  const without = store.frames.flatMap((f, n) => (f.length === 0 ? [n] : []));
  if (without.length > 0) {
    all.push({
      code: "frames-without-picture",
      text: `No picture could be made of frame ${without.join(", ")}.`,
    });
  }
  if (endsAtSizeChange) all.push(sizeChanges(ready));
  return {
    clip,
    state,
    ready,
    count: whole ? ready : Math.max(expected, ready),
    countIsExact: whole,
    times: times.slice(from, to),
    timesFrom: Math.min(from, ready),
    width,
    height,
    rotation: facts.rotation,
    codec: facts.codec,
    rateMedianHz,
    variableRate,
    warnings: all,
    failure,
  };
}
