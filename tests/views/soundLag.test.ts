import { describe, expect, it } from "vitest";
import { soundLag } from "../../src/views/sound/soundLag.ts";
import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { claps, type Hearing, heardScene, strides } from "../helpers/heardScene.ts";
import { dice } from "../validate/random.ts";

const BESIDE = [
  [0, -6],
  [4, -6],
] as const;
const APART = [
  [0, -6],
  [30, 8],
] as const;

/** 20 s and 17 s of sound; the second recorder starts `late` seconds after the first. */
function scene(seed: number, more: Partial<Hearing> & Pick<Hearing, "noises">, late = 1.234): Hearing {
  const spans = [[0, 20] as const, [late, late + 17] as const] as const;
  return { seed, spans, cameras: BESIDE, ...more };
}

const offsetOf = (tracks: readonly [SoundTrack, SoundTrack]) => {
  const found = soundLag(...tracks);
  if (!found.lag) throw new Error(found.why);
  return found.lag;
};
const whyOf = (first: SoundTrack, second: SoundTrack) => {
  const found = soundLag(first, second);
  return found.lag ? `found ${found.lag.offset} s` : found.why;
};

describe("soundLag", () => {
  // The true lag is when the second began, and by how much longer the sound is under way to the first.
  it("finds three claps to a few samples, whatever gain, hiss, dullness and clock the second recorder has", () => {
    const lates = [-3.21, 0.4, 5.678, 1.9, -0.7];
    for (const [k, own] of [{}, { gain: 0.2 }, { dull: 0.7 }, { hiss: 0.01 }, { clock: 1.0001 }].entries()) {
      const late = lates[k]!;
      const place = [12, 3] as const;
      const noises = claps(dice(8), place, 7);
      const lag = offsetOf(heardScene(scene(3, { noises, own: [{}, own] }, late)));
      const way = (camera: readonly [number, number]) =>
        Math.hypot(place[0] - camera[0], place[1] - camera[1]) / 335;
      const truth = late + way(BESIDE[0]) - way(BESIDE[1]);
      expect(Math.abs(lag.offset - truth)).toBeLessThan(0.002);
      expect(lag.sd).toBeLessThan(0.02);
    }
  });

  it("finds scrapes of a skater who passes between cameras 33 m apart, within what sound takes from one to the other", () => {
    const way = Math.hypot(30, 14) / 335;
    let found = 0;
    for (let seed = 0; seed < 6; seed++) {
      const result = soundLag(
        ...heardScene(scene(seed, { cameras: APART, noises: strides(dice(seed, 3), 5) })),
      );
      if (!result.lag) continue;
      found += 1;
      expect(Math.abs(result.lag.offset - 1.234)).toBeLessThan(way + 2 * result.lag.sd);
    }
    expect(found).toBeGreaterThanOrEqual(4);
  });

  it("takes a track's own beginning into account, and says what both have", () => {
    const [first, second] = heardScene(scene(5, { noises: claps(dice(4), [2, 0], 8) }));
    const { offset } = offsetOf([first, second]);
    const moved = offsetOf([
      { ...first, begins: 0.7 },
      { ...second, begins: -0.4 },
    ]);
    expect(moved.offset).toBeCloseTo(offset + 1.1, 9);
    expect(moved.overlap).toBeCloseTo(17, 1);
    expect(moved.at).toBeCloseTo(8.1, 1);
    expect(moved.rate).toBeNull();
  });

  it("tells how fast a clock runs where both halves of a long stretch tell", () => {
    const d = dice(6);
    const noises = [5, 17, 28, 39, 51, 58].flatMap((at) => claps(d, [3, 2], at));
    const spans = [[0, 65] as const, [1, 66] as const] as const;
    const { rate } = offsetOf(
      heardScene({ seed: 2, spans, cameras: BESIDE, noises, own: [{}, { clock: 1.00004 }] }),
    );
    // What the second calls a second is shorter.
    expect(Math.abs(rate!.value - (1 - 0.00004))).toBeLessThan(2 * rate!.sd);
    expect(rate!.sd).toBeLessThan(4e-5);
  });
});

describe("soundLag refuses, in words,", () => {
  const heard = (seed: number, noises: Hearing["noises"]) => heardScene(scene(seed, { noises }));

  it("silence and tracks that are too short", () => {
    const [first, second] = heard(1, claps(dice(2), [2, 0], 7));
    expect(whyOf(first, { ...second, samples: new Int16Array(80000) })).toBe(
      "the sound of the second is silence",
    );
    expect(whyOf({ ...first, samples: first.samples.slice(0, 12000) }, second)).toBe(
      "the sound of the first lasts less than 2 s",
    );
  });

  it("recorders that share nothing: hiss, other claps, other strides", () => {
    for (let seed = 0; seed < 3; seed++) {
      for (const noises of [
        () => [],
        (k: number) => claps(dice(seed, k), [5, 0], 5 + k),
        (k: number) => strides(dice(seed, k), 5 + 0.2 * k),
      ]) {
        const first = heard(seed, noises(0))[0];
        const second = heard(seed + 500, noises(1))[1];
        expect(whyOf(first, second)).toMatch(
          /^(what the two have in common|only one bang|they fit about as well)/,
        );
      }
    }
  });

  it("one bang each, which may be two", () => {
    const one = (at: number) => claps(dice(1), [5, 0], at).slice(0, 1);
    for (let seed = 0; seed < 3; seed++) {
      expect(whyOf(heard(seed, one(9))[0], heard(seed + 500, one(11 + seed))[1])).toMatch(
        /^only one bang|^what the two/,
      );
      expect(whyOf(...heard(seed, one(9)))).toMatch(/^only one bang/);
    }
  });

  it("a click or two in what is silent otherwise, to the last bit", () => {
    const silent = (...clicks: readonly number[]): SoundTrack => ({
      ...{ rate: 8000, begins: 0 },
      samples: Int16Array.from({ length: 40000 }, (_, i) =>
        clicks.some((at) => i >= at && i < at + 5) ? 20000 : 0,
      ),
    });
    expect(whyOf(silent(9000), silent(21000))).toMatch(/^only one bang/);
    expect(whyOf(silent(9000), silent(9000))).toMatch(/^only one bang/);
    expect(whyOf(silent(9000, 17000), silent(6000, 22000))).toMatch(/^only one bang|^they fit|^what the two/);
  });

  it("a steady hum that both hear: that each recording begins and ends in it is no sound", () => {
    for (const seed of [1, 2, 3]) {
      const hum = (own: number, long: number): SoundTrack => {
        const d = dice(seed, own);
        const phase = d.even(0, 160);
        const samples = Int16Array.from({ length: long }, (_, i) =>
          Math.round(((i + phase) % 160 < 80 ? 900 : -900) + d.normal(15)),
        );
        return { rate: 8000, begins: 0, samples };
      };
      expect(whyOf(hum(1, 60000), hum(2, 60000))).toMatch(/^they fit|^what the two|^only one bang/);
      expect(whyOf(hum(1, 60000), hum(2, 52000))).toMatch(/^they fit|^what the two|^only one bang/);
    }
  });

  it("a loop that repeats, and an echo as loud as what it answers", () => {
    const bar = claps(dice(3), [5, 0], 4, 0.02, 11);
    const loop = Array.from({ length: 14 }, (_, k) =>
      bar.map((noise) => ({ ...noise, at: noise.at + 2 * (k - 3) })),
    ).flat();
    expect(whyOf(...heard(2, loop))).toMatch(/^they fit about as well in two ways/);
    const [first, second] = heard(3, claps(dice(5), [5, 0], 7));
    const echo = second.samples.map((x, i) => x + (second.samples[i - 4800] ?? 0));
    expect(whyOf(first, { ...second, samples: echo })).toMatch(/^they fit about as well in two ways/);
  });
});
