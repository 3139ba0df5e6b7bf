import { createStore, type StoreApi } from "zustand/vanilla";
import { trialLabel } from "../../src/study/labels.ts";
import type { Place } from "../../src/study/places.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import type { Session } from "./session.ts";
import { firstUnmarked } from "./trialState.ts";

export interface FirstStep {
  readonly key: string;
  readonly place: Place;
  /** What to do, and where on that place. */
  words(whole: WholeStudy): string;
  /** There is still something to do; absent = always. */
  needed?(whole: WholeStudy): boolean;
  /** This change of the study was the step; absent = it is done once its place was looked at through the list. */
  did?(before: WholeStudy, now: WholeStudy): boolean;
}

/** Something of a trial's marks that was not there before. */
const gained =
  (count: (marks: TrialMarks) => number) =>
  (before: WholeStudy, now: WholeStudy): boolean =>
    Object.values(now.marks).some((m) => {
      const was = before.marks[m.trial];
      return m !== was && count(m) > (was ? count(was) : 0);
    });

const toMark = (whole: WholeStudy) => firstUnmarked(whole) !== null;

/** The trial that is to be marked, by name. */
const nameOfNext = (whole: WholeStudy): string => {
  const next = firstUnmarked(whole);
  return next ? trialLabel(whole.study, next.id) : "a trial";
};

/** The way from an empty study to a printed report, in the order of the day. */
export const FIRST_STEPS: readonly FirstStep[] = [
  {
    key: "question",
    place: "plan",
    words: () => "Write down the question and the lane: its length and where the gates stand.",
    needed: ({ study }) => study.question.trim() === "" || study.lane.distance <= 0,
    did: (before, { study }) => study.question !== before.study.question || study.lane !== before.study.lane,
  },
  {
    key: "skaters",
    place: "plan",
    words: () => "Name the skaters.",
    needed: ({ study }) => study.skaters.length === 0,
    did: (before, now) => now.study.skaters.length > before.study.skaters.length,
  },
  {
    key: "techniques",
    place: "plan",
    words: () => "Name the two techniques, and how you will check which was skated.",
    needed: ({ study }) => study.techniques.length < 2,
    did: (before, now) => now.study.techniques.length > before.study.techniques.length,
  },
  {
    key: "order",
    place: "plan",
    words: () => "Make the run order and print it for the rink.",
    needed: ({ study }) => study.trials.length === 0,
    did: (before, now) => now.study.trials.length > before.study.trials.length,
  },
  {
    key: "camera",
    place: "plan",
    words: () => "See where the camera should stand, and how precise the numbers will be.",
  },
  {
    key: "times",
    place: "times",
    words: () => "Type the photocell times into the sheet.",
    needed: ({ study }) => study.trials.every((t) => t.time === null),
    did: (before, { study }) =>
      study.trials.some(
        (t) => t.time !== null && t.time !== before.study.trials.find((b) => b.id === t.id)?.time,
      ),
  },
  {
    key: "clips",
    place: "times",
    words: () => "Drop each clip on its trial, or add it there.",
    needed: ({ study }) => study.trials.every((t) => t.clip === undefined),
    did: (before, { study }) =>
      study.trials.some(
        (t) => t.clip !== undefined && t.clip !== before.study.trials.find((b) => b.id === t.id)?.clip,
      ),
  },
  {
    key: "scale",
    place: "measure",
    words: (whole) =>
      `${nameOfNext(whole)}: set the scale. Mark places on the ice whose distances are known, or take another trial's.`,
    needed: toMark,
    did: gained((m) => (m.iceReference ? 1 : 0)),
  },
  {
    key: "events",
    place: "measure",
    words: (whole) =>
      `${nameOfNext(whole)}: step to where a blade leaves the ice, or lands, and say that this is the frame.`,
    needed: toMark,
    did: gained((m) => m.events.length),
  },
  {
    key: "marks",
    place: "measure",
    words: (whole) =>
      `${nameOfNext(whole)}: mark the points asked for under the picture. The ? key lists every key.`,
    needed: toMark,
    did: gained((m) => m.marks.length),
  },
  {
    key: "answer",
    place: "compare",
    words: () => "Read which technique was faster and by how much; every number says how sure it is.",
  },
  { key: "report", place: "report", words: () => "Look through the report, then print or save it." },
];

export interface FirstStepsSeen {
  readonly shown: boolean;
  /** Keys of the steps this person did or looked at. */
  readonly seen: readonly string[];
}

const KEPT_AS = "blademark first steps";

/** What this browser remembers; everything is shown to who is here for the first time. */
function kept(): FirstStepsSeen {
  try {
    const { shown, seen } = JSON.parse(localStorage.getItem(KEPT_AS) ?? "{}");
    return { shown: shown !== false, seen: Array.isArray(seen) ? seen.map(String) : [] };
  } catch {
    return { shown: true, seen: [] };
  }
}

export type FirstStepsStore = StoreApi<FirstStepsSeen>;

export function createFirstSteps(): FirstStepsStore {
  const store = createStore<FirstStepsSeen>(kept);
  store.subscribe((now) => {
    try {
      localStorage.setItem(KEPT_AS, JSON.stringify(now));
    } catch {
      // A browser that keeps nothing shows the list again next time, no more.
    }
  });
  return store;
}

/** Steps that are there for this person in this study: what somebody else did in it is neither to do nor done. */
export function stepsOf(whole: WholeStudy, seen: readonly string[]): readonly FirstStep[] {
  return FIRST_STEPS.filter((step) => seen.includes(step.key) || (step.needed?.(whole) ?? true));
}

/** Notes each step as this person does it; returns how to stop. */
export function noteSteps(session: Session, store: FirstStepsStore): () => void {
  return session.subscribe((now, before) => {
    // What is taken back, or read from the disk, was not done now.
    if (now.whole === before.whole || now.past.length <= before.past.length) return;
    const { seen } = store.getState();
    const done = FIRST_STEPS.filter((s) => !seen.includes(s.key) && s.did?.(before.whole, now.whole));
    if (done.length > 0) store.setState({ seen: [...seen, ...done.map((s) => s.key)] });
  });
}
