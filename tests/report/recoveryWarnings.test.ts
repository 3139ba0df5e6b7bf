import { describe, expect, it } from "vitest";
import { compareDetails } from "../../src/report/compareDetails.ts";
import { recoveryWarnings } from "../../src/report/recoveryWarnings.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";

const DEMO = demo();
const TRIAL = "aino-close-1";

/** The demo with the last blade-on of a trial picked 21 frames (0.35 s) late, which contradicts no other event. */
function late(whole: WholeStudy, trial: string): WholeStudy {
  const marks = whole.marks[trial]!;
  const last = marks.events.filter((e) => e.event === "blade_on").at(-1)!;
  const moved = { ...last, frame: last.frame + 21, time: last.time + 21 * marks.picture!.frameInterval! };
  const events = marks.events.map((e) => (e === last ? moved : e));
  return { ...whole, marks: { ...whole.marks, [trial]: { ...marks, events } } };
}

const said = (whole: WholeStudy, trials = whole.study.trials, names: "names" | "codes" = "names") =>
  recoveryWarnings(whole, trials, names).map((w) => w.text);

describe("recovery times far from the others, where techniques are compared", () => {
  const one = late(DEMO, TRIAL);

  it("are named with trial, stride and time, among what makes a trial unlike the others", () => {
    expect(said(DEMO)).toEqual([]);
    const [text] = said(one);
    expect(text).toMatch(
      /^One recovery time is far from the others \(Aino, close recovery, trial 1, stride \d+: 0\.[56]\d\d s\)\./,
    );
    expect(compareDetails(one, "time_s", "names", measuredOnce(one))?.unlike).toContain(text);
  });

  it("name nobody where names are left out", () => {
    expect(said(one, one.study.trials, "codes")[0]).not.toMatch(/Aino/);
  });

  it("are no matter in a trial that does not count", () => {
    expect(
      said(
        one,
        one.study.trials.filter((t) => t.id !== TRIAL),
      ),
    ).toEqual([]);
  });

  it("are counted beyond the first four", () => {
    const marked = Object.keys(DEMO.marks).filter((id) => DEMO.marks[id]!.events.length > 0);
    const six = marked.slice(0, 6).reduce(late, DEMO);
    expect(said(six)[0]).toMatch(/^Six recovery times are far .*; and two more\)/);
  });
});
