/**
 * One numbering of strides and one clock: what the film writes beside a number is what measuring says of that stride,
 * and what the scrubber writes is what stands under the picture.
 */
import { describe, expect, it } from "vitest";
import { type Moment, momentFrame, readMoment, sharedMoments } from "../../../src/report/film/moment.ts";
import { eventOfStride, momentName, strideOf } from "../../../src/report/film/momentStride.ts";
import { planFilm } from "../../../src/report/film/planFilm.ts";
import { whyNotFilmable } from "../../../src/report/film/usualPair.ts";
import { measuredOnce } from "../../../src/trials/measuredOnce.ts";
import { formatNumber, formatReading } from "../../../src/uncertainty/format.ts";
import { demo } from "../../helpers/demoReadings.ts";

const whole = demo();
const { lane } = whole.study;
const readings = measuredOnce(whole);
const marks = (trial: string) => whole.marks[trial]!;
const subject = (trial: string) => ({ marks: marks(trial), label: trial });
const event = (text: string) => readMoment(text) as Moment;
const stridesOf = (trial: string) => {
  const reading = readings(trial);
  if (!reading.ok) throw reading.error;
  return reading.value.strides;
};
const PAIR = ["aino-close-1", "aino-open-1"];
const TIMES = Array.from({ length: 338 }, (_, n) => n / 60);
const film = (moment: Moment, trials = PAIR, slow = 4) =>
  planFilm(whole, { trials, moment, slow, names: "names" }, () => ({ times: TIMES, part: null }), readings);

describe("a stride's number", () => {
  it("is the one measuring gives it, for the events of its push and of the recovery after it", () => {
    for (const trial of PAIR) {
      for (const s of stridesOf(trial)) {
        const offs = sharedMoments([marks(trial)], lane).filter(
          (m) => strideOf(marks(trial), m) === s.stride,
        );
        const frames = offs.map((m) => [
          m.kind === "event" ? m.event : m.kind,
          momentFrame(marks(trial), m, lane, trial).frame,
        ]);
        expect(frames).toContainEqual(["blade_off", s.blade_off_frame]);
        if (s.blade_on_frame !== null) expect(frames).toContainEqual(["blade_on", s.blade_on_frame]);
        if (s.recovery && frames.some(([e]) => e === "recovery_min"))
          expect(frames).toContainEqual(["recovery_min", s.recovery.frame]);
        for (const m of offs) expect(m).toMatchObject({ side: s.side });
      }
    }
    expect(strideOf(marks(PAIR[0]!), { kind: "start" })).toBeNull();
  });

  it("stands beside the number among its side's, both where they differ", () => {
    const [, second, third] = stridesOf("aino-close-1").filter((s) => s.side === "left");
    expect(momentName(event("blade_off:left:3"), [marks("aino-close-1")])).toBe(
      `left blade-off 3 (stride ${third!.stride})`,
    );
    // Without its first blade-off the other trial's third left one is another stride.
    const first = stridesOf("aino-close-1")[0]!;
    const later = {
      ...marks("aino-close-1"),
      events: marks("aino-close-1").events.filter((e) => e.frame > first.blade_off_frame),
    };
    const k = first.side === "left" ? 2 : 3;
    expect(k === 3 ? third : second).toBeDefined();
    const number = stridesOf("aino-close-1").filter((s) => s.side === "left")[k - 1]!.stride;
    const other =
      first.side === "left" ? stridesOf("aino-close-1").filter((s) => s.side === "left")[k]! : third!;
    expect(momentName(event(`blade_off:left:${k}`), [marks("aino-close-1"), later])).toBe(
      `left blade-off ${k} (strides ${number} and ${other.stride - 1})`,
    );
    expect(momentName({ kind: "start" }, [marks("aino-close-1")])).toBe("the start");
  });

  it("can be asked for, and is refused where it is not the same push in both", () => {
    for (const s of stridesOf("aino-close-1")) {
      const moment = eventOfStride({ kind: "stride", stride: s.stride }, [subject("aino-close-1")]);
      expect(momentFrame(marks("aino-close-1"), moment, lane, "x").frame).toBe(s.blade_off_frame);
      expect(moment).toMatchObject({ event: "blade_off", side: s.side });
    }
    const swapped = {
      ...marks("aino-close-1"),
      events: marks("aino-close-1").events.map((e) => ({
        ...e,
        side: e.side === "left" ? ("right" as const) : ("left" as const),
      })),
    };
    const both = [subject("aino-close-1"), { marks: swapped, label: "the other" }];
    expect(() => eventOfStride({ kind: "stride", stride: 2 }, both)).toThrow(
      expect.objectContaining({
        coach: expect.stringMatching(
          /^Stride 2 is not the same push in both: (left|right) blade-off 1 \(blade_off:\1:1\) in/,
        ),
      }),
    );
    expect(() => eventOfStride({ kind: "stride", stride: 99 }, [subject("aino-close-1")])).toThrow(
      expect.objectContaining({
        coach: expect.stringMatching(/^aino-close-1 has no stride 99; it has only 1 to \d+\./),
      }),
    );
  });

  it("stands at every number in the film, and the number is that stride's", () => {
    const plan = film(event("blade_off:left:3"));
    expect(plan.at(0).foot).toContain(plan.name);
    const quantities = {
      "stride width": "stride_width_m",
      "recovery to midline": "recovery_to_midline_m",
      "touchdown to track midline": "touchdown_to_track_midline_m",
    } as const;
    let seen = 0;
    for (let k = plan.steps.first; k <= plan.steps.last; k += 3) {
      plan.showing(plan.steps.secondsAt(k)).panels.forEach(({ rows, trial }) => {
        for (const { name, of, text, had } of rows.slice(1)) {
          if (!had) continue;
          const [, number, side] = /^stride (\d+), (left|right)$/.exec(of ?? "") ?? [];
          const stride = stridesOf(trial).find((s) => s.stride === Number(number))!;
          expect(stride.side).toBe(side);
          const reading = stride.readings[quantities[name as keyof typeof quantities]];
          expect(reading.value === null ? "none" : formatReading(reading, "m")).toBe(text);
          seen++;
        }
      });
    }
    expect(seen).toBeGreaterThan(100);
  });
});

describe("the clock", () => {
  it("is the time under the leading clip's picture, whatever it is counted from", () => {
    for (const text of ["blade_off:left:3", "blade_on:right:2", "recovery_min:left:2", "start"]) {
      const moment = text === "start" ? ({ kind: "start" } as const) : event(text);
      const { steps, showing } = film(moment);
      expect(showing(steps.secondsAt(steps.zero)).panels.map((p) => p.frame)).toEqual(
        PAIR.map((t) => momentFrame(marks(t), moment, lane, t).frame),
      );
      for (let k = steps.first; k <= steps.last; k++) {
        const { rows, frame, edge } = showing(steps.secondsAt(k)).panels[steps.clip]!;
        if (edge) continue;
        expect(frame).toBe(k);
        expect(rows[0]!.text).toMatch(new RegExp(`^${formatNumber(steps.clock(k), 3)}\\s`));
      }
    }
  });

  it("stays with a frame that is held beyond a clip's end, and says so", () => {
    const short = planFilm(
      whole,
      { trials: PAIR, moment: event("blade_off:left:3"), slow: 4, names: "names", from: -1, to: 2 },
      ({ id }) => ({ times: id === PAIR[1] ? TIMES.slice(0, 240) : TIMES, part: null }),
      readings,
    );
    const { rows, frame } = short.at(short.count - 1).panels[1]!;
    expect([frame, rows[0]!.of]).toEqual([239, "at its last frame"]);
  });
});

describe("trials that are not offered", () => {
  it("say why", () => {
    const unmarked = { ...whole, marks: { ...whole.marks, "aino-open-1": undefined as never } };
    expect(whyNotFilmable(unmarked, "aino-open-1")).toBe("no event marked");
    expect(whyNotFilmable(whole, "aino-open-1")).toBeNull();
    const trials = whole.study.trials.map(({ clip: _, ...t }) => t);
    expect(whyNotFilmable({ ...whole, study: { ...whole.study, trials } }, "aino-open-1")).toBe("no clip");
  });
});
