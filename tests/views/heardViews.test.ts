import { describe, expect, it } from "vitest";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { measureViews } from "../../src/views/measureViews.ts";
import { inputOf } from "../validate/views/driveViews.ts";
import { filmPair, PAIRS } from "../validate/views/family.ts";

const { film, body } = filmPair(PAIRS[0]!, 1)!;
const [front, bench] = film.views.map((view) => inputOf(view, body, 1)) as [MeasureInput, MeasureInput];
const truth = film.offsets[1]!;

/** Only so many of its blade-offs and blade-ons. */
function kept(input: MeasureInput, from: number, to?: number): MeasureInput {
  const contacts = input.events.filter(({ event }) => event.startsWith("blade"));
  return { ...input, events: contacts.slice(from, to) };
}

const heard = (offset: number) => ({ lag: { offset, sd: 0.001, at: 4, overlap: 8, rate: null } });

describe("measureViews with what clips let hear", () => {
  it("does not call two views unlike that sound alone ties, each a little off", () => {
    const late = kept(bench, -2);
    // The same skate from the same place, marked by another hand.
    const again = { ...late, marks: late.marks.map((m) => ({ ...m, xPx: m.xPx + 0.3 })) };
    const { readings, views } = measureViews(
      [kept(front, 0, 2), late, again],
      [null, heard(truth + 0.06), heard(truth - 0.06)],
    );
    expect(readings.warnings.filter(({ code }) => code === "views-disagree")).toEqual([]);
    for (const { offset, sound } of views.slice(1)) {
      expect(sound).toMatchObject({ used: true, events: 0 });
      expect(Math.abs(offset.value - truth)).toBeLessThan(offset.u95);
    }
  });

  it("moves a tie by several events hardly at all", () => {
    const alone = measureViews([front, bench]).views[1]!;
    const both = measureViews([front, bench], [null, heard(truth + 0.1)]).views[1]!;
    expect(both.sound).toMatchObject({ used: true });
    // Of 9 ms beside 90 ms and more one hundredth counts.
    expect(Math.abs(both.offset.value - alone.offset.value)).toBeLessThan(0.003);
    expect(both.offset.u95).toBeLessThanOrEqual(alone.offset.u95 * 1.1);
  });
});
