import { join } from "node:path";
import { expect } from "vitest";
import type { Trial } from "../../src/study/types.ts";
import { ALL, outcomes } from "../faults/table.ts";
import { madeUpStudy } from "../helpers/madeUpStudy.ts";
import { seeded } from "../helpers/random.ts";
import { itWithR, repeatedInR, timedByClips } from "../helpers/repeatedInR.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

const folder = join(sharedFolder(), "random");

/** Forty in `npm run faults`, three of them in `npm test`: of touchdowns, of arms, and timed by clips too. */
const FIRST = 4000;
const MANY = 40;
const FEW = [4024, 4037, 4026];

/** R's own figure against the table's, as a share of it; of what is below 0.001, in thousandths. */
const LIMIT = 1e-9;

itWithR("repeat.R redoes studies nobody chose", () => {
  const came = outcomes("R on random studies");
  const seeds = ALL ? Array.from({ length: MANY }, (_, i) => FIRST + i) : FEW;
  let [numbers, worst] = [0, 0];
  for (const seed of seeds) {
    const ofArms = seed % 2 === 1;
    const { whole, readingOf } = madeUpStudy(seed, ofArms);
    const { status, said } = repeatedInR(folder, { whole: timedByClips(whole, clipsOf(seed)), readingOf });
    const which = `study ${seed}${ofArms ? " of arms" : ""}: ${said}`;
    const [, redone, off] = /numbers redone: (\d+) +largest deviation: (\S+)/.exec(said) ?? [];
    expect(Number(redone), which).toBeGreaterThan(0);
    expect(Number(off), which).toBeLessThanOrEqual(LIMIT);
    expect(status, which).toBe(0);
    numbers += Number(redone);
    worst = Math.max(worst, Number(off));
    came.came("redone");
  }
  console.log(
    `R on ${seeds.length} random studies: ${numbers} numbers redone, worst off by ${worst.toExponential(1)}`,
  );
  if (ALL) came.done();
});

/** Of every third study some trials are timed by clips, of one rate or two. */
function clipsOf(seed: number): (trial: Trial) => number | null {
  if (seed % 3 !== 0) return () => null;
  const random = seeded(seed + 1);
  const rates = random() < 0.5 ? [60, null] : [30, 120, null];
  return () => rates[Math.floor(random() * rates.length)]!;
}
