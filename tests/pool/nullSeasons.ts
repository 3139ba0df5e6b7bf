import { poolConclusion } from "../../src/pool/poolConclusion.ts";
import { type Pooled, poolDifferences } from "../../src/pool/poolDifferences.ts";
import { poolOrder } from "../../src/pool/poolOrder.ts";
import { type Evening, poolRows } from "../../src/pool/poolStudies.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import type { TimedTrial } from "../../src/study/timed.ts";
import { runOrder } from "../../src/trials/runOrder.ts";
import { byClip, type Camera } from "../helpers/clipClock.ts";
import { normal, seeded } from "../helpers/random.ts";

/** How a season goes in which the techniques make no difference to skaters in general. */
export interface Season {
  readonly name: string;
  readonly evenings: number;
  /** Skaters an evening. */
  readonly skaters: number;
  readonly repeats: number;
  /** Skaters come from so many; 0 = others on each evening. */
  readonly club: number;
  /** SD of the difference between evenings, s. */
  readonly evening: number;
  /** Seconds from one of a skater's trials to the next. */
  readonly drift: "none" | "steady" | "own" | "warming";
  /** Our own run order (ABBA and BAAB), or one that nobody should skate. */
  readonly order: "ours" | "abab" | "aabb";
  /** After which evenings it is looked at, until it is settled; the last is the last evening. */
  readonly looks: readonly number[];
  /** Timed by clips of this camera; absent = by photocells. */
  readonly camera?: Camera;
  /** True mean difference, s; 0 where not said. */
  readonly truth?: number;
}

/** SDs: of one trial, of a skater's own response. */
const [TRIAL, RESPONSE] = [0.03, 0.04];

export interface SeasonShares {
  readonly settled: number;
  /** Of the interval of the mean, a new skater's, a new evening's: how often they hold the truth. */
  readonly mean: number;
  readonly newSkater: number;
  readonly newStudy: number;
}

/** What is claimed of so many seasons and what intervals hold at their end, %. Truth: drawn, 0 on average. */
export function seasonShares(season: Season, seasons: number, seed: number): SeasonShares {
  const random = seeded(seed);
  const count = { settled: 0, mean: 0, newSkater: 0, newStudy: 0 };
  for (let i = 0; i < seasons; i++) {
    const people = Array.from({ length: season.club }, () => RESPONSE * normal(random));
    const evenings = Array.from({ length: season.evenings }, (_, e) => eveningOf(season, e, people, random));
    const asked = { a: ["a"], b: ["b"], quantity: "time_s", byCode: true } as const;
    let [settled, last] = [false, null as Pooled | null];
    for (const after of season.looks) {
      const { rows } = poolRows(evenings.slice(0, after), asked);
      const pooled = poolDifferences(rows);
      last = pooled.value === null ? null : pooled;
      settled = poolConclusion(pooled, poolOrder(rows, pooled), season.looks.length).is === "settled";
      if (settled) break;
    }
    if (settled) count.settled++;
    if (!last) throw new Error("a season without a pooled mean");
    const holds = (value: number, [low, high]: readonly [number, number]) => low <= value && value <= high;
    if (holds(0, last.ci95)) count.mean++;
    const evening = season.evening * normal(random);
    const clip = season.camera ? byClip(5, season.camera, random).clipSd : 0;
    const trial = Math.hypot(TRIAL, clip);
    const one = RESPONSE * normal(random) + trial * Math.sqrt(2 / season.repeats) * normal(random);
    const { newSkater, newStudy } = last;
    if (newSkater.value !== null && holds(evening + one, newSkater.interval95)) count.newSkater++;
    if (newStudy.value === null || holds(evening, newStudy.interval95)) count.newStudy++;
  }
  const share = (n: number) => (100 * n) / seasons;
  return {
    settled: share(count.settled),
    mean: share(count.mean),
    newSkater: share(count.newSkater),
    newStudy: share(count.newStudy),
  };
}

function eveningOf(season: Season, e: number, people: readonly number[], random: () => number): Evening {
  const own = season.evening * normal(random);
  const ids =
    season.club > 0 ? chosen(season, random) : Array.from({ length: season.skaters }, (_, k) => 1000 * e + k);
  const names = ids.map((id) => `S${id}`);
  const order = runOrder({
    skaters: names,
    techniques: ["a", "b"],
    repeats: season.repeats,
    seed: Math.floor(1e6 * random()),
  });
  const response = new Map(ids.map((id) => [`S${id}`, people[id] ?? RESPONSE * normal(random)]));
  const level = new Map(names.map((n) => [n, 4.7 + 0.18 * normal(random)]));
  const slope = new Map(
    names.map((n) => [n, season.drift === "own" ? -0.03 + 0.02 * normal(random) : -0.03]),
  );
  const done = new Map<string, number>();
  const trials = order.rows.map((row, k): TimedTrial => {
    const nth = done.get(row.skater) ?? 0;
    done.set(row.skater, nth + 1);
    const technique = season.order === "ours" ? row.technique : fixed(season, nth);
    const change =
      season.drift === "none"
        ? 0
        : season.drift === "warming"
          ? 0.12 * Math.exp(-nth / 1.5)
          : slope.get(row.skater)! * nth;
    const time =
      level.get(row.skater)! +
      change +
      (technique === "b" ? (season.truth ?? 0) + own + response.get(row.skater)! : 0) +
      TRIAL * normal(random);
    return {
      id: `t${k}`,
      skater: row.skater,
      technique,
      repeat: 1,
      order: k + 1,
      ...(season.camera ? clipTimed(time, season.camera, random) : { time }),
      valid: true,
      speedFactor: 1,
    };
  });
  const study = {
    ...newStudy(),
    lane: { ...newStudy().lane, distance: 30 },
    skaters: names.map((id) => ({ id, name: id, code: id, body: {} })),
    techniques: ["a", "b"].map((id) => ({ id, name: id, asked: [] })),
    trials,
  };
  return { name: `E${e}`, study, ofTrial: ({ time }) => (time === null ? null : { value: time }) };
}

function clipTimed(time: number, camera: Camera, random: () => number) {
  const { value, clipSd } = byClip(time, camera, random);
  return { time: value, clipSd };
}

function fixed({ order, repeats }: Season, nth: number): string {
  return order === "abab" ? "ab"[nth % 2]! : nth < repeats ? "a" : "b";
}

/** Who of the club comes. */
function chosen({ club, skaters }: Season, random: () => number): number[] {
  return Array.from({ length: club }, (_, id) => ({ id, at: random() }))
    .sort((x, y) => x.at - y.at)
    .slice(0, skaters)
    .map(({ id }) => id);
}

const USUAL: Omit<Season, "name" | "evenings" | "looks"> = {
  ...{ skaters: 5, repeats: 2, club: 0, evening: 0.03, drift: "none", order: "ours" },
};
const season = (name: string, evenings: number, change: Partial<Season> = {}): Season => ({
  ...{ name, evenings, ...USUAL, looks: [evenings] },
  ...change,
});

export const SEASONS: readonly Season[] = [
  ...[2, 3, 4, 6, 10].map((n) => season(`${n} evenings that differ by 0.03 s`, n)),
  ...[2, 4, 8].map((n) => season(`${n} evenings alike`, n, { evening: 0 })),
  ...[3, 6].map((n) => season(`${n} evenings that differ by 0.06 s`, n, { evening: 0.06 })),
  ...[3, 6].map((n) => season(`${n} evenings of 3 skaters, 1 trial of each`, n, { skaters: 3, repeats: 1 })),
  ...[3, 5, 8].map((n) => season(`${n} evenings of a club of 8`, n, { club: 8 })),
  season("6 evenings of the same 5", 6, { club: 5 }),
  season("10 evenings of the same 3", 10, { club: 3, skaters: 3 }),
  ...(["steady", "own", "warming"] as const).map((drift) =>
    season(`4 evenings, drift ${drift}`, 4, { drift }),
  ),
  ...(["steady", "warming"] as const).flatMap((drift) =>
    (["abab", "aabb"] as const).map((order) =>
      season(`4 evenings, drift ${drift}, always ${order}`, 4, { drift, order }),
    ),
  ),
  season("3 evenings, clips of 30 frames/s, standing", 3, { camera: { rate: 30, start: "standing" } }),
  season("6 evenings, clips of 60 frames/s, flying", 6, { camera: { rate: 60, start: "flying" } }),
  season("6 evenings, looked at after 3 and 6", 6, { looks: [3, 6] }),
  season("8 evenings, looked at after 2, 4, 6 and 8", 8, { looks: [2, 4, 6, 8] }),
  season("8 evenings of a club of 8, looked at after 4 and 8", 8, { club: 8, looks: [4, 8] }),
  ...[2, 3].map((n) => season(`${n} evenings that differ by 0.4 s`, n, { evening: 0.4 })),
];
