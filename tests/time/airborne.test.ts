import { describe, expect, it } from "vitest";
import { AIRBORNE_BY_DELAY, AIRBORNE_SPAN, airborneFrames, airborneRest } from "../../src/time/airborne.ts";
import { EVENT_SD_FRAMES, eventShape, SLIP_SHARE, timesNormalShape } from "../../src/time/eventTime.ts";
import { Sources, type Uncertain, weightedSum } from "../../src/uncertainty/uncertain.ts";
import { seeded } from "../helpers/random.ts";

/**
 * Picked frames of blade-offs, drawn from what the words say: the blade leaves somewhere in the interval after its last frame of
 * contact, and now and then the frame before or after that one is picked. [definitions; docs/precision.md 1]
 *
 * @returns frames from the picked one's interval's middle to the event, and for how long the blade is off the ice in the picked one
 */
function picked(count: number, random = seeded(11)) {
  return Array.from({ length: count }, () => {
    const left = 100 + random();
    const r = random();
    const frame = 100 + (r < SLIP_SHARE / 2 ? -1 : r < SLIP_SHARE ? 1 : 0);
    return { late: left - (frame + 0.5), inAir: Math.max(0, frame - left) };
  });
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;

describe("a blade's time off the ice goes along with its event's time as frames that are picked show it", () => {
  const all = picked(400_000);

  it("is told by it", () => {
    for (const { late, inAir } of all.slice(0, 1000)) expect(airborneFrames(-late)).toBeCloseTo(inAir, 9);
  });

  it("in a straight line and a rest", () => {
    const middle = mean(all.map((p) => p.inAir));
    const slope = mean(all.map((p) => p.late * (p.inAir - middle))) / mean(all.map((p) => p.late ** 2));
    // A blade-off picked too late lies before its interval: the longer in the air, the earlier.
    expect(-slope).toBeCloseTo(AIRBORNE_BY_DELAY, 2);
    const rest = Math.sqrt(mean(all.map((p) => (p.inAir - slope * p.late) ** 2)));
    expect(rest).toBeCloseTo(airborneRest(-1, 0).sd, 3);
    expect(airborneRest(1, 0).sd).toBeCloseTo(airborneRest(-1, 0).sd, 12);
    const span = mean(all.map((p) => p.inAir ** 3)) / mean(all.map((p) => p.inAir ** 2));
    expect(span).toBeCloseTo(AIRBORNE_SPAN, 2);
  });
});

/** Standard normal: Box and Muller (1958), Annals of Mathematical Statistics 29, 610-611. */
function normals(random: () => number): () => number {
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/**
 * A place that moves by `rolls` a frame on the ice and by `rises` a frame more once the blade is in the air, at several events,
 * with an error of its own: what its ± holds is counted by picking frames, not by what the core makes of slips.
 */
describe("95 of 100 lie within the ± of what slips of a frame leave with three tails", () => {
  const DRAWS = 40_000;
  for (const weights of [[1], [1, -1], [1, 0.5, 0.5]])
    for (const [rolls, rises] of [
      [6, 0],
      [6, 6],
      [6, -6],
      [6, 12],
      [0, 12],
    ] as const)
      for (const [own, doubt] of [
        [0.5, 0],
        [2, 0.7],
        [4, 0],
      ] as const)
        it(`${weights.length} events, rolls ${rolls}, rises ${rises} give or take ${doubt} of it, own ${own}`, () => {
          const sources = new Sources();
          const terms: [number, Uncertain][] = [[1, sources.add(0, own)]];
          for (const weight of weights) {
            const family = sources.count;
            const delay = sources.add(0, EVENT_SD_FRAMES, eventShape(family));
            const { sd, shapeOf } = airborneRest(-1, doubt);
            terms.push([weight * (rolls - rises * AIRBORNE_BY_DELAY), delay]);
            terms.push([weight * rises, sources.add(0, sd, shapeOf(family))]);
          }
          const { u95 } = weightedSum(terms);
          const random = seeded(7);
          const normal = normals(random);
          const events = weights.map(() => picked(DRAWS, random));
          let held = 0;
          for (let k = 0; k < DRAWS; k++) {
            const error = weights.reduce((sum, weight, e) => {
              const { late, inAir } = events[e]![k]!;
              return sum + weight * (rolls * late + rises * (1 + doubt * normal()) * inAir);
            }, own * normal());
            if (Math.abs(error) <= u95) held++;
          }
          expect(held / DRAWS).toBeGreaterThan(0.94);
          expect(held / DRAWS).toBeLessThan(0.965);
        });

  it("a speed nobody knows, over a time that slips", () => {
    const sources = new Sources();
    const family = sources.count;
    const delay = sources.add(0, EVENT_SD_FRAMES, eventShape(family));
    const unknown = sources.add(0, 3 * EVENT_SD_FRAMES, timesNormalShape(family));
    const { u95 } = weightedSum([
      [1, delay],
      [1, unknown],
      [1, sources.add(0, 0.5)],
    ]);
    const random = seeded(9);
    const normal = normals(random);
    const errors = picked(DRAWS, random).map(({ late }) => (1 + 3 * normal()) * late + 0.5 * normal());
    const held = errors.filter((error) => Math.abs(error) <= u95).length / DRAWS;
    expect(held).toBeGreaterThan(0.94);
    expect(held).toBeLessThan(0.965);
  });
});
