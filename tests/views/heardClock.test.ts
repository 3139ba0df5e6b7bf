import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { EVENT_SD_FRAMES } from "../../src/time/eventTime.ts";
import { exactly, K95, Sources } from "../../src/uncertainty/uncertain.ts";
import type { KnownClock } from "../../src/views/clock/saidClock.ts";
import type { ShownContact, ShownContacts } from "../../src/views/clock/shownContacts.ts";
import { tieClock } from "../../src/views/clock/tieClock.ts";
import { type HeardClock, heardClock } from "../../src/views/sound/heardClock.ts";
import { matchHeard } from "../../src/views/sound/matchHeard.ts";
import { type LagFound, soundLag } from "../../src/views/sound/soundLag.ts";
import { claps, heardScene } from "../helpers/heardScene.ts";
import { dice } from "../validate/random.ts";

type Flat = readonly [number, number];

const standing = ([x, y]: Flat, known = true) => ({
  speedFactor: 1,
  camera: known
    ? { x, y, height: 2, u95Place: [0.2, 0.2, 0.1] as const, focalPx: 1500, u95FocalPx: 20 }
    : null,
});

const LAG: LagFound = { lag: { offset: 1.5, sd: 0.0001, at: 8, overlap: 16, rate: null } };

function clockOf(found: LagFound, a: Flat, b: Flat, known = true): HeardClock {
  const heard = heardClock(found, standing(a), standing(b, known));
  if (heard === null || heard.offset === null) throw new Error("nothing heard");
  return heard;
}

describe("heardClock", () => {
  // By hand: √(2 · 0.025² + (d / 325.2)² / 3), d as far as the places' ± allow (0.42 m).
  it("is as wide as sound may take between the cameras, and as sound lies beside pictures", () => {
    for (const [far, u] of [
      [0, Math.hypot(0.025 * Math.SQRT2, 0.424264 / 325.2 / Math.sqrt(3))],
      [30, Math.hypot(0.025 * Math.SQRT2, 30.424264 / 325.2 / Math.sqrt(3))],
    ] as const)
      expect(clockOf(LAG, [0, 0], [far, 0]).u).toBeCloseTo(u, 6);
  });

  it("takes a rink's diagonal where a place is not known, and says so", () => {
    const heard = clockOf(LAG, [0, 0], [3, 0], false);
    expect([heard.placesKnown, heard.apart]).toEqual([false, 67]);
    expect(heard.u).toBeGreaterThan(0.12);
  });

  it("tells a rate only to what a source that goes from one camera to the other leaves", () => {
    const rate = { value: 1.0001, sd: 1e-6, seconds: 60 };
    const heard = clockOf({ lag: { ...LAG.lag!, rate } }, [0, 0], [20, 0]);
    expect(heard.rate!.u).toBeCloseTo((2 * 20.424264) / 325.2 / Math.sqrt(3) / 60, 6);
  });

  it("does not take the sound of slow motion, nor asks where nobody listened", () => {
    const slow = { ...standing([0, 0]), speedFactor: 4 };
    expect(heardClock(LAG, standing([0, 0]), slow)).toMatchObject({
      offset: null,
      why: expect.stringMatching(/plays slower/),
    });
    expect(heardClock(null, standing([0, 0]), slow)).toBeNull();
  });
});

describe("the 95 % interval of a tie", () => {
  /*
   * Cameras and claps anywhere on a rink of 60 x 30 m, air of −5 to 15 °C, each clip's sound off its pictures by up to 40 ms flat, both
   * recorders with hiss and a hall of their own; events off as picked frames are. Nothing of the core but what is tested.
   */
  it("holds the true offset, by sound alone and with events", { timeout: 120_000 }, () => {
    const inside = { sound: 0, three: 0, one: 0 };
    let told = 0;
    for (let seed = 0; seed < 80; seed++) {
      const d = dice(seed, 11);
      const anywhere = (): Flat => [d.even(0, 60), d.even(-15, 15)];
      const cameras = [anywhere(), anywhere()] as const;
      const late = d.even(-0.8, 0.8);
      const tracks = heardScene({
        seed,
        spans: [
          [0, 5],
          [late, late + 5],
        ],
        cameras,
        noises: claps(d, anywhere(), d.even(1.8, 2.6)),
        speed: 331.3 + 0.606 * d.even(-5, 15),
      });
      const [first, second] = tracks.map((track) => ({ ...track, begins: d.even(-0.04, 0.04) }));
      const found = soundLag(first!, second!);
      if (!found.lag) continue;
      told += 1;
      const heard = clockOf(found, ...cameras);
      if (Math.abs(heard.offset - late) < K95 * heard.u) inside.sound += 1;
      for (const [name, events] of [
        ["one", 1],
        ["three", 3],
      ] as const) {
        const sources = new Sources();
        const frame = 1 / 30;
        const moments = Array.from({ length: events }, (_, k) => {
          const slip = d.chance(0.2) ? (d.chance(0.5) ? 1 : -1) : 0;
          const wrong = (slip + d.even(-0.5, 0.5)) * frame;
          return { first: sources.add(1 + k + late + wrong, EVENT_SD_FRAMES * frame), own: exactly(1 + k) };
        });
        const sound = { first: sources.add(heard.at + heard.offset, heard.u), own: exactly(heard.at) };
        const { offset, at, rate } = tieClock([...moments, sound], sources, heard.rate);
        // The clocks run alike, so the offset is the same everywhere.
        expect(Math.abs(rate.value - 1)).toBeLessThan(1.5e-3);
        expect(at).toBeGreaterThan(0);
        if (Math.abs(offset.value - late) < offset.u95) inside[name] += 1;
      }
    }
    expect(told).toBeGreaterThan(75);
    for (const held of Object.values(inside)) expect(held / told).toBeGreaterThan(0.92);
  });
});

/** Blade-offs and blade-ons of a rhythm as one view picks them, without places. */
function picked(from: number, to: number, late: number, uneven = 0): ShownContacts {
  const contacts: ShownContact[] = [];
  const push = (k: number) => 0.34 * k + uneven * Math.sin(k * k);
  for (let k = from; k < to; k++) {
    const side = k % 2 === 0 ? "left" : "right";
    const at = (event: ShownContact["event"], time: number): ShownContact => ({
      ...{ event, side, place: null },
      frame: Math.round(60 * (time - late)),
      time: time - late,
    });
    contacts.push(at("blade_off", 2 + push(k)), at("blade_on", 2 + push(k) + 0.27));
  }
  contacts.sort((a, b) => a.time - b.time);
  return { contacts, frameSeconds: 1 / 60, sd: EVENT_SD_FRAMES / 60, camera: null };
}

const told = (offset: number, u: number): HeardClock => ({
  ...{ offset, u, at: 3, rate: null, by: "sound", apart: 10, placesKnown: true },
});

function refusal(match: () => unknown): string {
  try {
    match();
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("matchHeard", () => {
  it("settles which strides are the same where they are even", () => {
    const [a, b] = [picked(0, 4, 0), picked(1, 6, 0.8)];
    expect(refusal(() => matchHeard(a, b, 2, null))).toMatch(/fit about as well/);
    for (const off of [-0.08, 0, 0.08]) {
      const { match, counts } = matchHeard(a, b, 2, told(0.8 + off, 0.04));
      expect(match.offset).toBeCloseTo(0.8, 9);
      expect(match.pairs).toHaveLength(6);
      expect(counts).not.toBeNull();
    }
  });

  it("does not settle it where the sound is as wide as two strides", () => {
    const words = refusal(() => matchHeard(picked(0, 4, 0), picked(1, 6, 0.8), 2, told(0.8, 0.3)));
    expect(words).toMatch(
      /fit about as well.*does not tell either: it places the clocks only to ± 0\.60 s\.$/,
    );
  });

  it("ties by the one event that both show, or by the sound alone", () => {
    const [a, b] = [picked(0, 4, 0), picked(3, 6, 0.8)];
    const one = { ...b, contacts: b.contacts.slice(0, 1) };
    const { match } = matchHeard(a, one, 2, told(0.85, 0.05));
    expect(match.pairs).toHaveLength(1);
    expect(match.offset).toBeCloseTo(0.8, 9);
    const none = { ...b, contacts: b.contacts.slice(3) };
    const alone = matchHeard({ ...a, contacts: a.contacts.slice(0, 3) }, none, 2, told(0.85, 0.05));
    expect(alone.match).toMatchObject({ pairs: [], offset: 0.85 });
  });

  it("goes by the sound where the few events of two views fit a wrong way as well", () => {
    const [a, b] = [picked(0, 2, 0), picked(4, 6, 0.8)];
    // Two pushes each, no push in both: by themselves they seem the same two.
    expect(matchHeard(a, b, 2, null).match.pairs.length).toBe(4);
    const { match, counts } = matchHeard(a, b, 2, told(0.85, 0.05));
    expect([match.pairs, match.offset, counts === null]).toEqual([[], 0.85, false]);
  });

  it("keeps to the events where the sound speaks against them, and says so", () => {
    const [a, b] = [picked(0, 8, 0, 0.05), picked(0, 8, 0.8, 0.05)];
    const { match, counts, warnings } = matchHeard(a, b, 2, told(1.14, 0.05));
    expect(match.offset).toBeCloseTo(0.8, 9);
    expect(counts).toBeNull();
    expect(warnings.map(({ code }) => code)).toEqual(["sound-unlike-events"]);
    expect(warnings[0]!.text).toMatch(/1\.14 s added .* \(± 0\.10 s\), their 16 shared events with 0\.80 s/);
    expect(matchHeard(a, b, 2, told(0.85, 0.05)).warnings).toEqual([]);
  });
});

describe("matchHeard with an offset that was said", () => {
  const said = (offset: number, u: number): KnownClock => ({ offset, u, at: 3, rate: null, by: "said" });

  it("settles which strides are the same, and ties where no event is shared", () => {
    const [a, b] = [picked(0, 4, 0), picked(1, 6, 0.8)];
    expect(matchHeard(a, b, 2, said(0.81, 0.01)).match.pairs).toHaveLength(6);
    const none = { ...b, contacts: b.contacts.slice(7) };
    const few = { ...a, contacts: a.contacts.slice(0, 3) };
    expect(matchHeard(few, none, 2, said(0.81, 0.01)).match).toMatchObject({ pairs: [], offset: 0.81 });
    expect(refusal(() => matchHeard(few, none, 2, said(0.81, 0.3)))).toMatch(
      /The offset that was given does not tell either: it places the clocks only to ± 0\.60 s\.$/,
    );
  });

  it("is not spoken against by as much as picked frames err, though it be surer than they", () => {
    const [a, b] = [picked(0, 8, 0, 0.05), picked(0, 8, 0.8, 0.05)];
    // Of 16 pairs the middle errs by √(π/2) √(2 (0.532 / 60)² / 16) = 3.9 ms, by hand.
    for (const off of [-0.01, 0.01]) {
      const { counts, warnings } = matchHeard(a, b, 2, said(0.8 + off, 0.001));
      expect([counts === null, warnings]).toEqual([false, []]);
    }
  });

  it("is named and left where the events speak against it", () => {
    const [a, b] = [picked(0, 8, 0, 0.05), picked(0, 8, 0.8, 0.05)];
    const { match, counts, warnings } = matchHeard(a, b, 2, said(0.83, 0.005));
    expect(match.offset).toBeCloseTo(0.8, 9);
    expect(counts).toBeNull();
    expect(warnings.map(({ code }) => code)).toEqual(["offset-unlike-events"]);
    expect(warnings[0]!.text).toMatch(
      /said .* 0\.83 s added .* \(± 0\.01 s\).* 16 shared events with 0\.80 s/,
    );
  });
});
