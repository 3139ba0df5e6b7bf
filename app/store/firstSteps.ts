import { createStore, type StoreApi } from "zustand/vanilla";
import type { Place } from "../../src/study/places.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";

export interface FirstStep {
  readonly key: string;
  readonly place: Place;
  /** What to do, and where on that place. */
  readonly words: string;
  /** Told from the study; without it a step is done once its place was looked at through the list. */
  done?(whole: WholeStudy): boolean;
}

const anyMarks = (whole: WholeStudy, has: (marks: TrialMarks) => boolean) =>
  Object.values(whole.marks).some(has);

/** The way from an empty study to a printed report, in the order of the day. */
export const FIRST_STEPS: readonly FirstStep[] = [
  {
    key: "question",
    place: "plan",
    words: "Write down the question and the lane: its length and where the gates stand.",
    done: ({ study }) => study.question.trim() !== "" && study.lane.distance > 0,
  },
  {
    key: "skaters",
    place: "plan",
    words: "Name the skaters.",
    done: ({ study }) => study.skaters.length > 0,
  },
  {
    key: "techniques",
    place: "plan",
    words: "Name the two techniques, and how you will check which was skated.",
    done: ({ study }) => study.techniques.length > 1,
  },
  {
    key: "order",
    place: "plan",
    words: "Make the run order and print it for the rink.",
    done: ({ study }) => study.trials.length > 0,
  },
  {
    key: "camera",
    place: "plan",
    words: "See where the camera should stand, and how precise the numbers will be.",
  },
  {
    key: "times",
    place: "times",
    words: "Type the photocell times into the sheet.",
    done: ({ study }) => study.trials.some((t) => t.time !== null),
  },
  {
    key: "clips",
    place: "times",
    words: "Drop each clip on its trial, or add it there.",
    done: ({ study }) => study.trials.some((t) => t.clip !== undefined),
  },
  {
    key: "scale",
    place: "measure",
    words: "Set the scale: mark places on the ice whose distances are known.",
    done: (whole) => anyMarks(whole, (m) => Boolean(m.iceReference)),
  },
  {
    key: "events",
    place: "measure",
    words: "Step to where a blade leaves the ice, or lands, and say that this is the frame.",
    done: (whole) => anyMarks(whole, (m) => m.events.length > 0),
  },
  {
    key: "marks",
    place: "measure",
    words: "Mark the points the card on the picture asks for. The ? key lists every key.",
    done: (whole) => anyMarks(whole, (m) => m.marks.length > 0),
  },
  {
    key: "answer",
    place: "compare",
    words: "Read which technique was faster and by how much; every number says how sure it is.",
  },
  { key: "report", place: "report", words: "Look through the report, then print or save it." },
];

export interface FirstStepsSeen {
  readonly shown: boolean;
  /** Keys of the steps that were looked at. */
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

export function isDone(step: FirstStep, whole: WholeStudy, seen: readonly string[]): boolean {
  return step.done ? step.done(whole) : seen.includes(step.key);
}
