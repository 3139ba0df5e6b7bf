import type { EventFrame, Trial, TrialMarks, WholeStudy } from "../../src/study/types.ts";

/** How far a trial is, told from what was done with it; nothing is measured for it. */
export type TrialState =
  | { readonly kind: "no-clip" }
  | { readonly kind: "unmarked"; readonly scale: boolean }
  /** `done` of `of` strides have their pushing blade marked. */
  | { readonly kind: "begun"; readonly done: number; readonly of: number; readonly scale: boolean }
  | { readonly kind: "marked"; readonly strides: number; readonly scale: boolean };

/** Fewer blade-offs give no stride width: such a trial is only begun. */
const LEAST_STRIDES = 3;

/** @param scale whether it has one, its own or its camera set-up's */
export function trialState(
  trial: Trial,
  marks: TrialMarks | undefined,
  scale = Boolean(marks?.iceReference),
): TrialState {
  const offs = marks?.events.filter((e) => e.event === "blade_off") ?? [];
  if (offs.length === 0) return trial.clip === undefined ? { kind: "no-clip" } : { kind: "unmarked", scale };
  const done = offs.filter((e) => isBladeAnswered(marks as TrialMarks, e)).length;
  return done === offs.length && done >= LEAST_STRIDES
    ? { kind: "marked", strides: done, scale }
    : { kind: "begun", done, of: offs.length, scale };
}

/** Both ends of the blade that pushes are there, or were said not to be seen. */
function isBladeAnswered({ marks, notSeen = [] }: TrialMarks, { frame, side }: EventFrame): boolean {
  return (["blade_heel", "blade_toe"] as const).every((point) =>
    [...marks, ...notSeen].some((m) => m.frame === frame && m.side === side && m.point === point),
  );
}

/** "11 strides", "9 of 11 strides", "no clip". */
export function stateWords(state: TrialState): string {
  switch (state.kind) {
    case "no-clip":
      return "no clip";
    case "unmarked":
      return state.scale ? "not marked" : "no scale";
    case "begun":
      return `${state.done} of ${state.of} strides${state.scale ? "" : ", no scale"}`;
    case "marked":
      return `${state.strides} strides${state.scale ? "" : ", no scale"}`;
  }
}

/** The next trial that has a clip and is not marked, after `from` and round to it again; null = none is left. */
export function nextUnmarked({ study, marks }: WholeStudy, from: string | null): Trial | null {
  const { trials } = study;
  const at = trials.findIndex((t) => t.id === from);
  const round = [...trials.slice(at + 1), ...trials.slice(0, Math.max(0, at))];
  return round.find((t) => isToMark(t, marks[t.id])) ?? null;
}

/** The first in the study's order. */
export function firstUnmarked({ study, marks }: WholeStudy): Trial | null {
  return study.trials.find((t) => isToMark(t, marks[t.id])) ?? null;
}

const isToMark = (trial: Trial, marks: TrialMarks | undefined) =>
  trial.clip !== undefined && trial.valid && trialState(trial, marks).kind !== "marked";
