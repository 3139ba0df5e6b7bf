import { compareJudged } from "../../src/compare/compareTechniques.ts";
import type { CompareRow } from "../../src/compare/types.ts";
import { mean } from "../../src/statistics/mean.ts";
import { byClip, type Camera } from "../helpers/clipClock.ts";
import { normal, seeded } from "../helpers/random.ts";

/** An evening on which the techniques make no difference to skaters in general, timed by clips. */
export interface ClipEvening {
  readonly name: string;
  readonly camera: Camera;
  /** Every other of a skater's trials is timed by photocells. */
  readonly mixed: boolean;
  /** Clips are taken to be so many times as sure as they are; 1 where not said. */
  readonly taken?: number;
}

export const CLIP_EVENINGS: readonly ClipEvening[] = [
  { name: "clips of 60 frames/s, flying", camera: { rate: 60, start: "flying" }, mixed: false },
  { name: "clips of 30 frames/s, standing", camera: { rate: 30, start: "standing" }, mixed: false },
  {
    name: "clips of 30 frames/s, standing, and photocells",
    camera: { rate: 30, start: "standing" },
    mixed: true,
  },
];

/** SDs in seconds: of one trial, between skaters, and of how differently they respond on every other evening. */
const [TRIAL, SKATER, RESPONSE] = [0.02, 0.18, 0.03];
const SKATERS = 6;

/** Six skaters, three trials of each technique. Shares of so many evenings: intervals that hold the truth, and what is claimed. */
export function clipEvenings({ camera, mixed, taken = 1 }: ClipEvening, evenings: number, seed: number) {
  const random = seeded(seed);
  const count = { clip: 0, these: 0, each: 0, general: 0, settled: 0, verdict: 0 };
  for (let i = 0; i < evenings; i++) {
    const response = i % 2 === 0 ? 0 : RESPONSE;
    const responses = Array.from({ length: SKATERS }, () => response * normal(random));
    const rows = responses.flatMap((own, s) => {
      const level = 4.7 + SKATER * normal(random);
      return [..."abbaab"].map((technique, k): CompareRow => {
        const time = level + (technique === "b" ? own : 0) + TRIAL * normal(random);
        const { value, clipSd } = byClip(time, camera, random);
        if (Math.abs(value - time) <= 1.96 * taken * clipSd) count.clip += 1 / (6 * SKATERS);
        const clock = mixed && (k + s) % 2 === 0 ? { value: time } : { value, clipSd: taken * clipSd };
        return { skater: `S${s}`, technique, order: 6 * s + k + 1, valid: true, ...clock };
      });
    });
    const c = compareJudged({ rows, a: "a", b: "b", quantity: "time_s", worthwhile: 0.01, beam: "dual" });
    const holds = (of: { readonly value: number | null; readonly u95?: number }, truth: number) =>
      of.value !== null && Math.abs(of.value - truth) <= of.u95!;
    if (holds(c.these, mean(responses))) count.these++;
    if (holds(c.general, 0)) count.general++;
    if (c.pairs.every((p, s) => Math.abs(p.difference - responses[s]!) <= p.u95.value!)) count.each++;
    if (c.conclusion === "settled") count.settled++;
    if (response === 0 && c.pairs.some((p) => p.verdict !== "can't tell")) count.verdict += 2;
  }
  const share = (n: number) => n / evenings;
  const { clip, these, each, general } = count;
  return {
    held: { clip: share(clip), these: share(these), each: share(each), general: share(general) },
    settled: share(count.settled),
    verdict: share(count.verdict),
  };
}
