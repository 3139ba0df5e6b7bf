import { describe, expect, it } from "vitest";
import { scaleOf, trialReading } from "../../app/store/readings.ts";
import type { IcePoint, Mark, WholeStudy } from "../../src/study/types.ts";
import { iceMarkSd, studySds } from "../../src/trials/trialInput.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, ZONE } from "../helpers/placements.ts";
import { normal, seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";
import { bareStudy, marksWith, PICTURE } from "./fakeStudy.ts";

/** A study with one trial, marked in two passes by a hand of `handPx`; its third ice point is off by so many px. */
function study(handPx: number, offPx: number): WholeStudy {
  const random = seeded(11);
  const { input } = filmedTrial(simulateSkater({ ...ORDINARY, strides: 5, speed: 7 }), {
    ...{ camera: PLACEMENTS.facing, fps: 60, zone: ZONE, noisePx: 0.4, slips: 0, random, statedSdPx: 1.5 },
  });
  const again = input.marks.map(
    (m): Mark => ({
      ...m,
      pass: 2,
      xPx: m.xPx + handPx * Math.SQRT2 * normal(random),
      yPx: m.yPx + handPx * Math.SQRT2 * normal(random),
    }),
  );
  if (input.iceReference?.kind !== "ice-points") throw new Error("ice points expected");
  const points = input.iceReference.points.map(
    (p, k): IcePoint => (k === 2 ? { ...p, xPx: p.xPx + offPx } : p),
  );
  const marks = marksWith({
    marks: handPx > 0 ? [...input.marks, ...again] : input.marks,
    events: input.events,
    iceReference: { kind: "ice-points", points },
  });
  return { ...bareStudy(), marks: { t1: marks } };
}

describe("the scale that the window draws and the one that the numbers rest on", () => {
  it.each([
    ["a steady hand", 0.5],
    ["the stated SD", 0],
    ["an unsteady hand", 4],
  ] as const)("are one and the same, whatever is wrong with a point: %s", (_, handPx) => {
    // From a point that is right to one that no hand explains: measured, told of, refused.
    const fitted: boolean[] = [];
    for (const offPx of [0, 6, 12, 16, 18, 24, 60]) {
      const whole = study(handPx, offPx);
      const reading = trialReading(whole, "t1");
      const scale = scaleOf(whole.marks.t1!.iceReference!, PICTURE, iceMarkSd(whole));
      if (!reading.ok) throw reading.error;
      fitted.push(scale.ok);
      if (scale.ok) expect(reading.value.scale).toBe(scale.value.summary);
      else expect(reading.value.scaleWhy).toBe(scale.error.coach);
    }
    expect(new Set(fitted).size, "some are measured, some refused").toBe(2);
  });

  it("are fitted with the SD that the readings name", () => {
    const whole = study(0.5, 0);
    const reading = trialReading(whole, "t1");
    if (!reading.ok) throw reading.error;
    expect(reading.value.marking.icePoints.sdPx).toBe(iceMarkSd(whole));
    expect(reading.value.marking).toEqual(studySds(whole));
  });
});
