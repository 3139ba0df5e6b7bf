import { expect, it } from "vitest";
import { countMeasured } from "../../app/store/progress.ts";
import { readingAtHand, workedOut } from "../../app/store/readings.ts";
import { demo } from "../helpers/demoReadings.ts";

/** Who shows how well bands are measured from what is at hand looks again then; else it stays at what was there first. */
it("a study is told worked out once all of its trials are, and not when it was stopped", async () => {
  const whole = demo();
  let told = 0;
  const end = workedOut.subscribe(({ whole: of }) => {
    told += 1;
    expect(of).toBe(whole);
    for (const { id } of whole.study.trials) expect(readingAtHand(whole, id), id).not.toBeNull();
  });
  let asked = 0;
  expect(await countMeasured(whole, () => asked++ > 2)).toBeNull();
  expect(told).toBe(0);
  expect(await countMeasured(whole, () => false)).toBeGreaterThan(5);
  expect(told).toBe(1);
  end();
});
