import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { setGatePassing } from "../../app/commands/marks/setGatePassing.ts";
import type { Lane, Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { trialPairing } from "../../src/trials/clipGateTime.ts";
import { endGates, type GateTime, gateTimeFromFrames } from "../../src/trials/gateTime.ts";
import { judgePairing } from "../../src/trials/pairing.ts";
import { near } from "../helpers/near.ts";
import { normal, seeded } from "../helpers/random.ts";

const others = (...times: number[]) => times.map((time, k) => ({ time, order: k + 1 }));
const clip = (value: number, sd = 0.014): GateTime => ({ value, sd, how: "gate frames" });

const passings = (from: number, to: number, rate: number) => [
  { gate: 0, frame: from, time: from / rate },
  { gate: 30, frame: to, time: to / rate },
];

const picked = (rate: number, speedFactor: number, start: Lane["start"]) =>
  gateTimeFromFrames(passings(57, 332, rate), [0, 30], { frameInterval: 1 / rate, speedFactor }, start);

describe("gate-to-gate time from frames picked by eye", () => {
  // Precision study, 7: SD of clip minus photocell, ms, flying 13/7/5/4 and standing 19/14/13/13 at 30/60/120/240.
  it.each([
    [30, "flying", 13],
    [60, "flying", 7],
    [120, "flying", 5],
    [240, "flying", 4],
    [30, "standing", 19],
    [60, "standing", 14],
    [120, "standing", 13],
    [240, "not said", 13],
  ] as const)("at %i frames/s, %s start, is good to %i ms", (rate, start, ms) => {
    const time = picked(rate, 1, start);
    near(time.value, (332 - 57) / rate, 1e-12);
    if (time.value !== null) expect(time.sd).toBe(ms / 1000);
  });

  it("counts real frames a second in slow motion: 30 shown, 8 times slower, are 240", () => {
    const time = picked(30, 8, "flying");
    near(time.value, 275 / 240, 1e-12);
    if (time.value !== null) expect(time.sd).toBe(0.004);
  });

  // Frame rounding is inversely proportional to the rate.
  it("is less certain below 30 frames a second", () => {
    const time = picked(15, 1, "flying");
    if (time.value === null) throw new Error(time.why);
    near(time.sd, 0.026, 1e-12);
  });

  it("says what is missing or the wrong way round", () => {
    const of = (p: Parameters<typeof gateTimeFromFrames>[0]) =>
      gateTimeFromFrames(p, [0, 30], { frameInterval: 1 / 60, speedFactor: 1 }, "standing");
    expect(of([])).toMatchObject({ value: null, why: expect.stringMatching(/gate at 0 m and at 30 m/) });
    expect(of([{ gate: 0, frame: 3, time: 0.05 }])).toMatchObject({
      why: expect.stringMatching(/at 30 m\./),
    });
    // A gate that has been moved in Plan since: its frame is of no use.
    expect(of(passings(57, 332, 60).map((p) => ({ ...p, gate: p.gate + 1 })))).toMatchObject({ value: null });
    expect(of(passings(332, 57, 60))).toMatchObject({ why: expect.stringMatching(/not after/) });
    expect(endGates({ gates: [5] })).toBeNull();
    expect(endGates({ gates: [0, 15, 30] })).toEqual([0, 30]);
  });
});

describe("clip against photocell (rules of docs/precision.md 7)", () => {
  it("within their joint uncertainty is consistent, with how many trials it would be so too", () => {
    // Joint SD: 14 ms, dual beam 10 ms, 0.01 s rounding 2.9 ms: 17.4 ms; 95 %: 34 ms.
    const near30 = judgePairing(clip(4.62), 4.59, "dual", others(4.6, 4.63, 4.88, 4.31));
    expect(near30.verdict).toBe("consistent");
    near(near30.sd, Math.sqrt(0.014 ** 2 + 0.01 ** 2 + 0.01 ** 2 / 12), 1e-12);
    expect(near30.text).toMatch(/they agree, consistent with 3 of 5 timed trials.*does not prove/);
  });

  it("beyond it is a contradiction", () => {
    const far = judgePairing(clip(4.63), 4.59, "dual", others(4.6, 4.88));
    expect(far).toMatchObject({ verdict: "contradiction", factor: 1 });
    expect(far.text).toMatch(
      /may not be this trial's clip.*consistent with 1 of the 2 other timed trials \(No\. 1 in run order\)\./,
    );
    const many = judgePairing(clip(4.63), 4.59, "dual", others(4.6, 4.61, 4.62, 4.88, 4.63, 4.64, 4.65));
    expect(many.text).toMatch(
      /with 6 of the 7 other timed trials \(No\. 1, 2, 3, 5 and 2 more in run order\)/,
    );
    // A single beam is less certain: the same 40 ms are no contradiction.
    expect(judgePairing(clip(4.63), 4.59, "single").verdict).toBe("consistent");
  });

  it.each([1 / 8, 1 / 4, 1 / 3, 1 / 2, 4 / 5, 5 / 6, 24 / 25, 2, 4, 8])(
    "finds that it plays at %d of its time, whichever way the recorder did it",
    (k) => {
      for (const played of [k, 1 / k]) {
        const found = judgePairing(clip(5.2 * played, 0.014 * played), 5.2, "dual");
        expect(found.verdict).toBe("speed");
        near(found.factor, played, 1e-9);
        expect(found.text.includes("another trial's clip")).toBe(played > 0.7 && played < 1.4);
      }
    },
  );

  // Precision study, 7: 29.97/30 cannot be found and does no harm (5 ms in 5 s).
  it("does not take 29.97 for 30 frames a second as an error", () => {
    expect(judgePairing(clip((5.2 * 30) / 29.97), 5.2, "dual").verdict).toBe("consistent");
  });

  it("does not call a wrong clip slow motion: no factor is near", () => {
    for (const time of [3.7, 4.31, 5.6, 7.5]) {
      expect(judgePairing(clip(time), 4.88, "dual").verdict, `${time}`).toBe("contradiction");
    }
  });

  // By the definition of 1.96 standard uncertainties: 5 % of right pairs are flagged. 4,000 draws: ± 0.7 points.
  it("refutes a right pair in about 5 %", () => {
    const random = seeded(7);
    let refuted = 0;
    for (let i = 0; i < 4000; i++) {
      const sd = Math.sqrt(0.014 ** 2 + 0.01 ** 2 + 0.01 ** 2 / 12);
      if (judgePairing(clip(4.6 + sd * normal(random)), 4.6, "dual").verdict !== "consistent") refuted++;
    }
    expect(refuted / 4000).toBeGreaterThan(0.04);
    expect(refuted / 4000).toBeLessThan(0.06);
  });
});

const demo = (path: string) =>
  JSON.parse(readFileSync(new URL(`../../sample-clips/${path}`, import.meta.url), "utf8"));

describe("the demo's clips, gate frames from their truth", () => {
  const study: Study = demo("demo-study/study.json");

  /** The study with both gate frames of a trial picked: the first frame in which the front is past the gate. */
  function withGates(name: string): WholeStudy {
    const marks: TrialMarks = demo(`demo-study/marks/${name}.json`);
    const truth: { gates: { x_m: number; frame: number }[] } = demo(`truth/${name}.json`);
    const picture = marks.picture!;
    return truth.gates.reduce<WholeStudy>(
      (whole, gate) => {
        const frame = Math.ceil(gate.frame);
        const at = { frame, time: frame * picture.frameInterval };
        return setGatePassing.run(whole, { trial: name, gate: gate.x_m, at, picture });
      },
      { study, marks: { [name]: marks } },
    );
  }

  it.each(["aino-close-1", "bea-open-1", "tove-open-1", "wren-close-1"])("%s is consistent", (name) => {
    const said = trialPairing(withGates(name), name, []);
    expect(said).toMatchObject({ code: "pairing", text: expect.stringMatching(/of 20 timed trials/) });
  });

  // README of the sample clips: bea-close-2 shows Tove's open recovery, 4.31 s instead of 4.88 s.
  it("bea-close-2 is the wrong clip, and is caught", () => {
    expect(trialPairing(withGates("bea-close-2"), "bea-close-2", [])).toMatchObject({
      code: "pairing-refuted",
      text: expect.stringMatching(
        /shows 4\.32 ± 0\.03 s, the photocells 4\.88 s.*may not be this trial's clip/,
      ),
    });
  });

  it("takes a gate frame back, and then says what is missing", () => {
    const whole = withGates("aino-close-1");
    const { picture } = whole.marks["aino-close-1"]!;
    const less = setGatePassing.run(whole, {
      trial: "aino-close-1",
      gate: 30,
      at: null,
      picture: picture!,
    });
    expect(trialPairing(less, "aino-close-1", [])).toMatchObject({
      code: "pairing-not-checked",
      text: expect.stringMatching(/gate at 30 m/),
    });
    expect(trialPairing({ study, marks: {} }, "aino-close-1", [])?.code).toBe("pairing-not-checked");
    expect(trialPairing({ study, marks: {} }, "nobody", [])).toBeNull();
  });
});
