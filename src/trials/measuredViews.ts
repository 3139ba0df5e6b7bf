import { MeasureError } from "../errors.ts";
import { measureTrial } from "../kinematics/measureTrial.ts";
import type { MeasureInput, TrialReadings } from "../kinematics/types.ts";
import { type TrialView, viewsOf } from "../study/trialViews.ts";
import type { Trial, WholeStudy } from "../study/types.ts";
import { measureViews } from "../views/measureViews.ts";
import type { LagFound } from "../views/sound/soundLag.ts";
import type { ViewSummary } from "../views/types.ts";
import { soundOf } from "./keptSound.ts";
import { scaleReference } from "./scaleReference.ts";
import { trialInput } from "./trialInput.ts";

/** A view of a trial that has events and an ice reference of its own. */
interface MeasuredView {
  readonly view: TrialView;
  readonly input: MeasureInput;
  /** How its clip's sound lies to the first one's; null where nobody listened. */
  readonly lag: LagFound | null;
}

/** What a trial of a study measures, by all of its views that are marked. */
export interface MeasuredTrial {
  readonly readings: TrialReadings;
  /** By view, where two or more were measured together; their ids in the study in `ids`. */
  readonly views: readonly ViewSummary[];
  readonly ids: readonly string[];
}

type Rests = MeasureInput | LagFound | null;
const known = new WeakMap<
  MeasureInput,
  { readonly inputs: readonly Rests[]; readonly found: MeasuredTrial }
>();

/**
 * A trial by all its views together where two or more are marked, else by the one that is. Where their clocks can't be tied
 * the first is measured alone, and a warning says why.
 *
 * @throws {MeasureError} as `trialInput`
 */
export function measuredTrial(whole: WholeStudy, trial: Trial): MeasuredTrial {
  const [first, ...more] = measuredViews(whole, trial);
  if (!first) return alone(measureTrial(trialInput(whole, trial.id)));
  const inputs = [first, ...more].flatMap(({ input, lag }): Rests[] => [input, lag]);
  const last = known.get(first.input);
  if (last && last.inputs.length === inputs.length && last.inputs.every((one, k) => one === inputs[k]))
    return last.found;
  const found = more.length === 0 ? alone(measureTrial(first.input)) : together([first, ...more]);
  known.set(first.input, { inputs, found });
  return found;
}

/** Ids of the views of a trial that are measured together; none with fewer than two. */
export function idsMeasuredTogether(whole: WholeStudy, trial: Trial): string[] {
  const ids = measuredViews(whole, trial).map(({ view }) => view.id);
  return ids.length < 2 ? [] : ids;
}

function measuredViews(whole: WholeStudy, trial: Trial): MeasuredView[] {
  const found = viewsOf(trial).flatMap((view): Omit<MeasuredView, "lag">[] => {
    const marks = whole.marks[view.id];
    if (
      !marks?.picture ||
      !scaleReference(whole, view.id) ||
      !marks.events.some((e) => !e.event.startsWith("arm_"))
    )
      return [];
    return [{ view, input: trialInput(whole, view.id) }];
  });
  return found.map((one, v) => ({ ...one, lag: v === 0 ? null : soundOf(whole, found[0]!.view, one.view) }));
}

function together(views: readonly MeasuredView[]): MeasuredTrial {
  try {
    const { readings, views: found } = measureViews(
      views.map(({ input }) => input),
      views.map(({ lag }) => lag),
    );
    return { readings, views: found, ids: views.map(({ view }) => view.id) };
  } catch (error) {
    if (!(error instanceof MeasureError) || error.code !== "views-not-tied") throw error;
    const { readings } = alone(measureTrial(views[0]!.input));
    const warning = { code: "views-not-tied" as const, text: `Only view 1 is measured. ${error.coach}` };
    return alone({ ...readings, warnings: [warning, ...readings.warnings] });
  }
}

function alone(readings: TrialReadings): MeasuredTrial {
  return { readings, views: [], ids: [] };
}
