import { expect, it } from "vitest";
import { AIRBORNE_BY_DELAY, AIRBORNE_SD_FRAMES, AIRBORNE_SHAPE } from "../../src/time/airborne.ts";
import { SLIP_SHARE } from "../../src/time/eventTime.ts";
import { seeded } from "../helpers/random.ts";

/**
 * Picked frames of blade-offs, drawn from what the words say: the blade leaves somewhere in the interval after its last frame of
 * contact, and now and then the frame before or after that one is picked. [definitions; docs/precision.md 1]
 *
 * @returns frames from the picked one's interval's middle to the event, and for how long the blade is off the ice in the picked one
 */
function picked(count: number) {
  const random = seeded(11);
  return Array.from({ length: count }, () => {
    const left = 100 + random();
    const r = random();
    const frame = 100 + (r < SLIP_SHARE / 2 ? -1 : r < SLIP_SHARE ? 1 : 0);
    return { late: left - (frame + 0.5), inAir: Math.max(0, frame - left) };
  });
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;

it("a blade's time off the ice goes along with its event's time as frames that are picked show it", () => {
  const all = picked(400_000);
  const middle = mean(all.map((p) => p.inAir));
  const slope = mean(all.map((p) => p.late * (p.inAir - middle))) / mean(all.map((p) => p.late ** 2));
  const rest = all.map((p) => p.inAir - middle - slope * p.late);
  const [second, fourth, sixth] = ([2, 4, 6] as const).map((n) => mean(rest.map((v) => v ** n))) as [
    number,
    number,
    number,
  ];
  // A blade-off picked too late lies before its interval: the longer in the air, the earlier.
  expect(-slope).toBeCloseTo(AIRBORNE_BY_DELAY, 2);
  expect(Math.sqrt(second)).toBeCloseTo(AIRBORNE_SD_FRAMES, 3);
  expect(fourth / second ** 2 - 3).toBeCloseTo(AIRBORNE_SHAPE.fourth, 0);
  expect((sixth / second ** 3 - (15 * fourth) / second ** 2 + 30) / AIRBORNE_SHAPE.sixth).toBeCloseTo(1, 1);
});

it("errors drawn from its shape have SD 1 and that shape", () => {
  const random = seeded(5);
  const drawn = Array.from({ length: 400_000 }, () => AIRBORNE_SHAPE.draw(random));
  expect(mean(drawn)).toBeCloseTo(0, 2);
  expect(mean(drawn.map((v) => v * v))).toBeCloseTo(1, 2);
  expect(mean(drawn.map((v) => v ** 4)) - 3).toBeCloseTo(AIRBORNE_SHAPE.fourth, 0);
});
