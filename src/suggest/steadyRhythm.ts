import { CholeskyDecomposition, Matrix } from "ml-matrix";
import type { EventName, Side } from "../study/types.ts";
import type { Lessons } from "./taught.ts";

/** SD by which one event is early or late by itself, and by which the clock strays over a cycle, real seconds. [judgement: steps at a sprint vary by 2 to 3 in 100, no source looked up] */
const JITTER_S = 0.005;
const STRAYS_S = 0.011;
/** SD of a frame picked by eye, frames. [judgement] */
const PICKED_SD = 0.5;
/** Known of the length of a cycle and of the share of it that an event comes at: nothing, frames. */
const UNKNOWN_SD = 100;
/** Of these SDs of limbs against their event, and of a cycle's length against the one before, that pair is taken which fits the clip best; real seconds. */
const LIMBS_S = [0.25, 0.35, 0.5, 0.7, 1, 1.4, 2, 2.8].map((frames) => frames / 60);
const PACE_S = [0.25, 0.7, 2].map((frames) => frames / 60);
/** Degrees of freedom of Student's t by which limbs err: some are far off. [judgement] */
const TAILS = 4;
/** So often is it worked out anew how little those far off count. */
const ROUNDS = 4;
/** Moments of contact, which follow each other steadily and which limbs do not show. */
const CONTACTS: readonly EventName[] = ["blade_off", "blade_on"];
/** More events are not put on one clock: those next to the confirmed ones are. */
const MOST = 120;

/** An event and the frame in which limbs, or a person, have it. */
export interface Placed {
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
}

interface Seen extends Placed {
  readonly isPicked: boolean;
  /** Cycles since the first. */
  readonly at: number;
}

interface Spread {
  /** Frames. */
  readonly limbs: number;
  readonly pace: number;
}

/**
 * A skater's contacts on one clock. Limbs are early or late against each contact by themselves; contacts follow each other
 * steadily, each kind at its own share of the cycle. So a contact lies where limbs and all the other contacts together have it:
 * by a Gaussian process, with a clock that strays and slowly changes its pace (Rasmussen & Williams 2006, Gaussian Processes for
 * Machine Learning, chapters 2, 5 and 9, from memory), limbs far off counting less (Student's t). How much limbs are to be believed
 * the clip tells: of a few spreads that which makes its events likeliest.
 */
export class SteadyRhythm {
  readonly #seen: readonly Seen[];
  readonly #realInterval: number;
  readonly #spread: Spread | null;
  readonly #frames: ReadonlyMap<string, number>;

  /**
   * @param found events by the limbs
   * @param cycle frames from one event to the next of its kind
   * @param realInterval real seconds between frames
   */
  constructor(
    found: readonly Placed[],
    lessons: readonly Lessons[],
    { cycle, realInterval }: { readonly cycle: number; readonly realInterval: number },
  ) {
    this.#realInterval = realInterval;
    this.#seen = onOneClock(found, lessons, cycle);
    const frames = (seconds: number) => seconds / realInterval;
    const spreads = LIMBS_S.flatMap((limbs) =>
      PACE_S.map((pace) => ({ limbs: frames(limbs), pace: frames(pace) })),
    );
    let best = Number.NEGATIVE_INFINITY;
    let chosen: { spread: Spread; frames: readonly number[] } | null = null;
    for (const spread of spreads) {
      const told = tell(this.#seen, spread, realInterval);
      if (!told || told.likely <= best) continue;
      best = told.likely;
      chosen = { spread, frames: told.frames };
    }
    this.#spread = chosen?.spread ?? null;
    this.#frames = new Map(this.#seen.map((s, i) => [keyOf(s), chosen?.frames[i] ?? s.frame]));
  }

  /** Where an event that limbs have in a frame lies by all of them together, frames and parts of them. */
  frameOf(found: Placed): number {
    return this.#frames.get(keyOf(found)) ?? found.frame;
  }

  /** Where a confirmed event would have been put, had it not been: by the others, and by the frame in which limbs have it. */
  leftOut(confirmed: Placed, byLimbs: number): number {
    const i = this.#seen.findIndex((s) => s.isPicked && keyOf(s) === keyOf(confirmed));
    const own = this.#seen[i];
    if (!own || !this.#spread) return byLimbs;
    const seen = this.#seen.with(i, { ...own, frame: byLimbs, isPicked: false });
    return tell(seen, this.#spread, this.#realInterval)?.frames[i] ?? byLimbs;
  }
}

const keyOf = ({ event, side, frame }: Placed) => `${event} ${side} ${frame}`;

/** Everything confirmed and found, each kind counted in cycles from one that is confirmed. */
function onOneClock(found: readonly Placed[], lessons: readonly Lessons[], cycle: number): Seen[] {
  const picked = lessons.filter((l) => CONTACTS.includes(l.event)).flatMap((l) => l.all.map((x) => x.frame));
  const away = ({ frame }: Placed) => Math.min(...picked.map((p) => Math.abs(p - frame)));
  const near = found
    .filter((f) => CONTACTS.includes(f.event))
    .sort((a, b) => away(a) - away(b))
    .slice(0, MOST);
  const first = Math.min(...picked, ...near.map((f) => f.frame));
  const contacts = lessons.filter((l) => CONTACTS.includes(l.event));
  return contacts.flatMap(({ event, side, all }) => {
    const kind = { event, side };
    const own = [
      ...all.map(({ frame }) => ({ ...kind, frame, isPicked: true })),
      ...near
        .filter((f) => f.event === event && f.side === side)
        .map(({ frame }) => ({ ...kind, frame, isPicked: false })),
    ].sort((a, b) => a.frame - b.frame);
    const home = own.findIndex((o) => o.isPicked);
    if (home < 0) return [];
    const phase = (own[home]!.frame - first) / cycle;
    const gaps = own.slice(1).map((o, i) => Math.max(1, Math.round((o.frame - own[i]!.frame) / cycle)));
    const before = (i: number) => gaps.slice(0, i).reduce((sum, g) => sum + g, 0);
    return own.map((o, i) => ({ ...o, at: phase + before(i) - before(home) }));
  });
}

interface Told {
  readonly likely: number;
  readonly frames: readonly number[];
}

/** Where the events lie, and how likely they are to be seen as they were (logarithm, but for a constant); null where that cannot be worked out. */
function tell(seen: readonly Seen[], spread: Spread, realInterval: number): Told | null {
  const n = seen.length;
  const { really, shared } = covariances(seen, spread, realInterval);
  const middle = seen.reduce((sum, s) => sum + s.frame, 0) / n;
  const y = Matrix.columnVector(seen.map((s) => s.frame - middle));
  let believed = seen.map(() => 1);
  for (let round = 1; ; round++) {
    const own = seen.map((s, i) => (s.isPicked ? PICKED_SD : spread.limbs) ** 2 / believed[i]!);
    const roots = new CholeskyDecomposition(Matrix.add(Matrix.add(really, shared), Matrix.diag(own)));
    if (!roots.isPositiveDefinite()) return null;
    const weights = roots.solve(y);
    if (round === ROUNDS) {
      const logRoots = roots.lowerTriangularMatrix.diagonal().reduce((sum, d) => sum + Math.log(d), 0);
      const tails = believed.reduce((sum, b) => sum + (TAILS / 2 - 1) * Math.log(b) - (TAILS / 2) * b, 0);
      return {
        likely: tails - 0.5 * y.transpose().mmul(weights).get(0, 0) - logRoots,
        frames: really
          .mmul(weights)
          .to1DArray()
          .map((frame) => frame + middle),
      };
    }
    believed = seen.map((s, i) => {
      if (s.isPicked) return 1;
      const off = own[i]! * weights.get(i, 0);
      return (TAILS + 1) / (TAILS + (off / spread.limbs) ** 2);
    });
  }
}

/** Of the moments themselves; and of what limbs err by alike, as the frames they are compared with are off: the same ones for all of a kind. */
function covariances(
  seen: readonly Seen[],
  { limbs, pace }: Spread,
  realInterval: number,
): { really: Matrix; shared: Matrix } {
  const n = seen.length;
  const first = Math.min(...seen.map((s) => s.at));
  const [jitter, strays] = [JITTER_S / realInterval, STRAYS_S / realInterval];
  const [really, shared] = [Matrix.zeros(n, n), Matrix.zeros(n, n)];
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      const [a, b] = [seen[i]!, seen[j]!];
      const [s, t] = [Math.min(a.at, b.at) - first, Math.max(a.at, b.at) - first];
      const alike = a.event === b.event && a.side === b.side;
      const moment =
        UNKNOWN_SD ** 2 * (1 + s * t + (alike ? 1 : 0)) +
        strays ** 2 * s +
        (pace ** 2 * s ** 2 * (3 * t - s)) / 6 +
        (i === j ? jitter ** 2 : 0);
      const limb = alike && !a.isPicked && !b.isPicked ? limbs ** 2 / 2 : 0;
      for (const [row, column] of [
        [i, j],
        [j, i],
      ] as const) {
        really.set(row, column, moment);
        shared.set(row, column, limb);
      }
    }
  }
  return { really, shared };
}
