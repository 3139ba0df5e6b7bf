import { useEffect, useState } from "react";
import type { Warning } from "../../../src/reading.ts";
import { viewsOf } from "../../../src/study/trialViews.ts";
import type { Trial, WholeStudy } from "../../../src/study/types.ts";
import type { AsAsked } from "../../../src/trials/asAsked.ts";
import { trialPairing } from "../../../src/trials/clipGateTime.ts";
import { countedReadings } from "../../../src/trials/countedReadings.ts";
import { trialAsAsked } from "../../../src/trials/techniqueCheck.ts";
import { wholeReading } from "../../store/readings.ts";
import { whenIdle } from "../../store/whenIdle.ts";

/** What the marks of a trial say of it. */
export interface Verdict {
  readonly asked: AsAsked | null;
  /** Whether its clip fits its time; null where there is nothing to hold together. */
  readonly pairing: Warning | null;
}

interface Known {
  readonly whole: WholeStudy;
  readonly trial: Trial;
  readonly verdict: Verdict;
}

/** A slice of work that no hand notices, ms. */
const SLICE_MS = 12;
/** A busy window gets on with it all the same after so long, ms. */
const LATEST_MS = 100;

/** As asked? Does the clip fit the time? Worked out from the trial's marks, which takes long where they are many. */
export function verdictOf(whole: WholeStudy, trial: Trial): Verdict {
  const reading = wholeReading(whole, trial.id);
  const technique = whole.study.techniques.find((t) => t.id === trial.technique);
  const counted = countedReadings(whole, (id) => wholeReading(whole, id));
  return {
    asked: technique ? trialAsAsked(trial, technique, counted) : null,
    pairing: trialPairing(whole, trial.id, reading.ok ? reading.value.strides : []),
  };
}

/**
 * The verdicts on all trials that have a clip, by trial, as they come: the sheet is there before them, and they are
 * worked out in its order in slices that let the window answer in between. What a change of the study may have made
 * untrue is missing until it is worked out again.
 */
export function useVerdicts(whole: WholeStudy, trials: readonly Trial[]): ReadonlyMap<string, Verdict> {
  const [known, setKnown] = useState<ReadonlyMap<string, Known>>(new Map());
  useEffect(() => {
    const found = new Map<string, Known>();
    const open = trials.filter((t) => t.clip !== undefined);
    const work = () => {
      const until = performance.now() + SLICE_MS;
      do {
        const trial = open.shift();
        if (trial) found.set(trial.id, { whole, trial, verdict: verdictOf(whole, trial) });
      } while (open.length > 0 && performance.now() < until);
      setKnown((before) => new Map([...before, ...found]));
      if (open.length > 0) callOff = whenIdle(work, LATEST_MS);
    };
    let callOff = open.length > 0 ? whenIdle(work, LATEST_MS) : () => {};
    return () => callOff();
  }, [whole, trials]);
  return new Map(
    trials.flatMap((trial) => {
      const of = known.get(trial.id);
      return of && holdsStill(of, whole, trial) ? [[trial.id, of.verdict] as const] : [];
    }),
  );
}

/** While it is being worked out again, a verdict stays where nothing of its own trial has changed. */
function holdsStill(of: Known, whole: WholeStudy, trial: Trial): boolean {
  const { study, marks } = of.whole;
  return (
    of.trial === trial &&
    viewsOf(trial).every(({ id }) => marks[id] === whole.marks[id]) &&
    study.lane === whole.study.lane &&
    study.skaters === whole.study.skaters &&
    study.techniques === whole.study.techniques
  );
}
