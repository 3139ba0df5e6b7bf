import { describe, expect, it } from "vitest";
import { verdictOf } from "../../app/places/times/useVerdicts.ts";
import { demo } from "../helpers/demoReadings.ts";

const DEMO = demo();
const trial = (id: string) => DEMO.study.trials.find((t) => t.id === id)!;

describe("what Times says of a trial", () => {
  it("is that the clip on Bea's second close recovery does not fit its time, and that nothing can be told by it", () => {
    // README of the sample clips: that clip shows somebody else.
    const { asked, pairing } = verdictOf(DEMO, trial("bea-close-2"));
    expect(pairing?.code).toBe("pairing-refuted");
    expect(asked?.answer).toBe("can't tell");
  });

  it("is that Aino's first close recovery was as asked, and its clip fits the time", () => {
    // The generator's own definition of a close recovery, and its own clip and time.
    const { asked, pairing } = verdictOf(DEMO, trial("aino-close-1"));
    expect(pairing?.code).toBe("pairing");
    expect(asked?.answer).toBe("yes");
  });
});
