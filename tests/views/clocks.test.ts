import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { EVENT_SD_FRAMES } from "../../src/time/eventTime.ts";
import { exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import { matchContacts } from "../../src/views/clock/matchContacts.ts";
import type { ShownContact, ShownContacts } from "../../src/views/clock/shownContacts.ts";
import { CLOCK_RATE_U, tieClock } from "../../src/views/clock/tieClock.ts";
import { dice } from "../validate/random.ts";

interface Wish {
  readonly fps: number;
  readonly ahead: number;
  readonly pushes?: readonly [number, number];
  /** Metres a second; null = no scale. */
  readonly speed?: number | null;
  readonly pace?: number;
  readonly exchanged?: number;
}

/** Blade-offs of a rhythm whose gaps differ by `uneven` (share), each blade down again after 0.8 of a gap, in one camera's clock. */
function shown(
  gaps: readonly number[],
  { fps, ahead, pushes, speed = 8, pace = 1, exchanged }: Wish,
): ShownContacts {
  const [from, to] = pushes ?? [0, gaps.length];
  const contacts: ShownContact[] = [];
  let t = 1;
  gaps.forEach((gap, k) => {
    t += gap;
    if (k < from || k >= to) return;
    const isLeft = (k % 2 === 0) !== (exchanged === k);
    const at = (event: ShownContact["event"], time: number): ShownContact => {
      const frame = Math.floor((ahead + pace * time) * fps);
      const place = speed === null ? null : { x: speed * time, y: isLeft ? 0.5 : -0.5 };
      return { event, side: isLeft ? "left" : "right", frame, time: (frame + 0.5) / fps, place };
    };
    contacts.push(at("blade_off", t), at("blade_on", t + 0.8 * gap));
  });
  contacts.sort((a, b) => a.time - b.time);
  return { contacts, frameSeconds: 1 / fps, sd: EVENT_SD_FRAMES / fps, camera: null };
}

const even = Array.from({ length: 8 }, () => 0.34);
const d = dice(5);
const uneven = Array.from({ length: 8 }, () => 0.34 * (1 + d.even(-0.15, 0.15)));

function refusal(match: () => unknown): MeasureError {
  try {
    match();
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("matchContacts", () => {
  it("finds an offset of seconds by events alone, with clips of other rates", () => {
    for (const fps of [30, 120]) {
      const a = shown(uneven, { fps: 60, ahead: 0, speed: null });
      const b = shown(uneven, { fps, ahead: 5.713, speed: null });
      const { offset, pairs } = matchContacts(a, b, 2);
      expect(Math.abs(offset + 5.713)).toBeLessThan(1 / 30);
      expect(pairs).toHaveLength(16);
      expect(pairs.every((pair) => pair.a.side === pair.b.side)).toBe(true);
    }
  });

  it("is not misled where each view shows other pushes of an even rhythm, as their places tell", () => {
    const a = shown(even, { fps: 60, ahead: 0, pushes: [0, 5] });
    const b = shown(even, { fps: 60, ahead: -0.4, pushes: [2, 8] });
    const { offset, pairs } = matchContacts(a, b, 2);
    expect(Math.abs(offset - 0.4)).toBeLessThan(1 / 30);
    expect(new Set(pairs.map(({ a: c }) => Math.round(c.place!.x * 10))).size).toBe(pairs.length);
  });

  it("is not misled by the one push at the edge that both could share, without a place of its own", () => {
    const at = (fps: number, ahead: number) => shown(even, { fps, ahead, pushes: [0, 3] });
    const bare = (view: ShownContacts, edge: (k: number) => boolean): ShownContacts => ({
      ...view,
      contacts: view.contacts.map((c, k) => (edge(k) ? { ...c, place: null } : c)),
    });
    const { offset, pairs } = matchContacts(
      bare(at(60, 0), (k) => k > 3),
      at(30, 2.31),
      2,
    );
    expect(Math.abs(offset + 2.31)).toBeLessThan(1 / 30);
    expect(pairs).toHaveLength(6);
  });

  it("refuses, with both answers, where the strides are as even and no place tells", () => {
    const a = shown(even, { fps: 60, ahead: 0, pushes: [0, 4], speed: null });
    const b = shown(even, { fps: 60, ahead: 0, pushes: [1, 6], speed: null });
    const { code, coach } = refusal(() => matchContacts(a, b, 2));
    expect(code).toBe("views-not-tied");
    expect(coach).toMatch(/fit about as well with .* s added to its clock .* as with .* s/);
  });

  it("refuses fewer than two shared events, and says so when one clip plays slower", () => {
    const a = shown(uneven, { fps: 60, ahead: 0 });
    const one = { ...a, contacts: a.contacts.slice(3, 4) };
    expect(refusal(() => matchContacts(a, one, 2)).coach).toMatch(
      /only one event fits in both, and two are needed/,
    );
    const slow = shown(uneven, { fps: 60, ahead: 0, pace: 4 });
    const { coach } = refusal(() => matchContacts(a, { ...slow, contacts: slow.contacts.slice(0, 7) }, 2));
    expect(coach).toMatch(/speed-factor|fit about as well/);
  });

  it("pairs a push whose sides are exchanged with the push it is, in its own place in the order", () => {
    const a = shown(uneven, { fps: 60, ahead: 0 });
    const b = shown(uneven, { fps: 60, ahead: 2.2, exchanged: 3 });
    const { offset, pairs } = matchContacts(a, b, 2);
    expect(Math.abs(offset + 2.2)).toBeLessThan(1 / 30);
    expect(pairs.filter((pair) => pair.a.side !== pair.b.side)).toHaveLength(2);
  });
});

describe("matchContacts where one of the two is wrong", () => {
  const longer = (view: ShownContacts, by: number): ShownContacts => ({
    ...view,
    contacts: view.contacts.map((c) => ({
      ...c,
      place: c.place && { x: by * c.place.x, y: by * c.place.y },
    })),
  });

  // Places in yards, or a tape a tenth too long: 20 m from the start that is as far as two strides.
  it("is not misled by a scale that is wrong by a tenth", () => {
    const slow = { speed: 5, pushes: [1, 7] } as const;
    for (const by of [0.9144, 1.1]) {
      const a = shown(even, { ...slow, fps: 120, ahead: 0 });
      const b = longer(shown(even, { ...slow, fps: 60, ahead: 3.1 }), by);
      const far = (view: ShownContacts) => ({
        ...view,
        contacts: view.contacts.map((c) => ({
          ...c,
          place: c.place && { ...c.place, x: c.place.x + 11 * (view === b ? by : 1) },
        })),
      });
      const { offset, pairs } = matchContacts(far(a), far(b), 2);
      expect(Math.abs(offset + 3.1)).toBeLessThan(1 / 30);
      expect(pairs).toHaveLength(12);
    }
  });
});

describe("tieClock", () => {
  // Weighted least squares of a line with a known slope prior, by hand: about the weighted middle both come apart.
  it("gives the weighted mean of the differences, and a rate that the prior holds", () => {
    const sources = new Sources();
    const own = [1, 2, 4];
    const apart = [2.01, 2.02, 1.99];
    const sds = [0.01, 0.02, 0.01];
    const tie = tieClock(
      own.map((t, k) => ({ first: sources.add(t + apart[k]!, sds[k]!), own: exactly(t) })),
      sources,
    );
    const w = sds.map((sd) => 1 / sd ** 2);
    const whole = w.reduce((sum, x) => sum + x, 0);
    expect(tie.offset.value).toBeCloseTo(apart.reduce((sum, x, k) => sum + w[k]! * x, 0) / whole, 12);
    expect(tie.offset.u).toBeCloseTo(1 / Math.sqrt(whole), 12);
    const at = own.reduce((sum, x, k) => sum + w[k]! * x, 0) / whole;
    expect(tie.at).toBeCloseTo(at, 12);
    const told = own.reduce((sum, x, k) => sum + w[k]! * (x - at) ** 2, 0);
    expect(tie.rate.u).toBeCloseTo(1 / Math.sqrt(told + 1 / CLOCK_RATE_U ** 2), 12);
    expect(tie.rate.value).toBeCloseTo(
      1 + own.reduce((sum, x, k) => sum + w[k]! * (x - at) * apart[k]!, 0) / (told + 1 / CLOCK_RATE_U ** 2),
      12,
    );
  });
});
