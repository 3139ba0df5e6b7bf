import type { Warning } from "../../../src/reading.ts";
import type { ClipIndex, ClipPart } from "../../../src/study/exchange.ts";
import { doubtfulFrames } from "./doubtful.ts";
import { sizeChanges } from "./frameIndex.ts";
import type { FrameStore } from "./frameStore.ts";
import { beginsAt, clipWarnings, type FrameTimes, frameTimes } from "./frameTimes.ts";
import { inRow, type Range, rangesThere } from "./ranges.ts";

/** What of a clip's index its store knows; the rest is the job's. */
export type StoreIndex = Omit<
  ClipIndex,
  | "clip"
  | "state"
  | "part"
  | "progress"
  | "queue"
  | "note"
  | "asksPart"
  | "lasts"
  | "turn"
  | "link"
  | "failure"
  | "failureCode"
> & { readonly timesFrom: number };

interface Derived {
  readonly version: number;
  readonly times: FrameTimes;
  readonly doubtful: readonly Range[];
  readonly holes: readonly number[];
}

/** Computed again only when the store has changed. */
const remembered = new WeakMap<FrameStore, Derived>();

function derived(store: FrameStore): Derived {
  const before = remembered.get(store);
  if (before?.version === store.version) return before;
  const now = {
    version: store.version,
    times: frameTimes(store.times, store.clip?.timebase ?? { num: 0, den: 1 }),
    doubtful: doubtfulFrames(store.clip?.problems ?? [], store.frames, store.times.length),
    holes: store.frames.filter(inRow).flatMap((f) => (f.length === 0 ? [f.ordinal] : [])),
  };
  remembered.set(store, now);
  return now;
}

/** Seconds of frame `n` after the clip's first; null when it is not known. */
export function timeOf(store: FrameStore, n: number): number | null {
  return derived(store).times.times[n] ?? null;
}

export function isDoubtful(store: FrameStore, n: number): boolean {
  return derived(store).doubtful.some(([from, to]) => n >= from && n < to);
}

const NOTHING: StoreIndex = {
  ready: 0,
  count: 0,
  countIsExact: false,
  times: [],
  timesFrom: 0,
  ahead: [],
  doubtful: [],
  width: 0,
  height: 0,
  rotation: 0,
  codec: "",
  rateMedianHz: null,
  variableRate: false,
  warnings: [],
};

/** The index the window is given: as far as the store has come, times only from `from` on. */
export function storeIndex(store: FrameStore | null, part: ClipPart | null, from = 0): StoreIndex {
  if (!store?.clip || store.prepared === 0) return NOTHING;
  const { facts, width, height, packets } = store.clip;
  const { times, rateMedianHz, variableRate } = derived(store).times;
  const first = part?.first ?? 0;
  const gap = store.readyFrom(first);
  const ready = gap > first ? gap : 0;
  const expected = packets?.shown ?? Math.round((facts.lasts ?? 0) * (rateMedianHz ?? 0));
  const count = store.clip.count;
  // Times that were filled in may move while more frames come, so that all are sent again.
  const since = store.times.includes(null) ? 0 : Math.min(from, ready);
  return {
    ready,
    count: count ?? Math.max(expected, times.length),
    countIsExact: count !== null,
    times: times.slice(since, ready),
    timesFrom: since,
    ahead: rangesThere(store.frames, gap).map(([a, b]) => ({ from: a, times: times.slice(a, b) })),
    doubtful: derived(store).doubtful,
    width,
    height,
    rotation: ((facts.rotation + store.turn) % 360) as ClipIndex["rotation"],
    codec: packets?.codec ?? "",
    rateMedianHz,
    variableRate,
    warnings: warningsOf(store),
  };
}

function warningsOf(store: FrameStore): Warning[] {
  if (!store.clip) return [];
  const { facts, problems, endsAtSizeChange, count, packets } = store.clip;
  const { times, holes, doubtful } = derived(store);
  const all = [...times.warnings];
  if (store.renumbered)
    all.unshift({
      code: "renumbered",
      text: "Some frames of this clip were first shown under numbers that decoding it from its start did not confirm. They have their right numbers now; check every mark and event frame of this clip.",
    });
  const known = {
    facts,
    problems,
    doubtful,
    rateMedianHz: times.rateMedianHz,
    count,
    known: times.times.length,
    lastTime: times.times.at(-1) ?? 0,
    begins: beginsAt(store.times[0], store.clip.timebase),
    packets: packets && endsAtSizeChange ? { ...packets, shown: null } : packets,
  };
  all.push(...clipWarnings(known));
  if (holes.length > 0)
    all.push({
      code: "frames-without-picture",
      text: `No picture could be made of frame ${holes.join(", ")}.`,
    });
  if (endsAtSizeChange && count !== null) all.push(sizeChanges(count));
  return all;
}
