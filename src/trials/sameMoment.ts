import { MeasureError } from "../errors.ts";
import { trialOfView, viewWithId } from "../study/trialViews.ts";
import type { WholeStudy } from "../study/types.ts";
import { measuredTrial } from "./measuredViews.ts";

/**
 * The frame of another view of the same trial at the moment of a frame of this one, by the clocks as the events that both show tie
 * them. Frames are taken as evenly spaced. Null where the two views are not measured together.
 *
 * @param from,to ids of views
 */
export function sameMoment(whole: WholeStudy, from: string, frame: number, to: string): number | null {
  const trial = trialOfView(whole.study, from);
  if (!trial || trialOfView(whole.study, to) !== trial) return null;
  const [a, b] = [from, to].map((id) => clockOfView(whole, id));
  const ties = tiesOf(whole, trial.id);
  const [own, other] = [ties.get(from), ties.get(to)];
  if (!a || !b || !own || !other) return null;
  const seconds = frame * a;
  const first = seconds + own.offset.value + (own.rate.value - 1) * (seconds - own.at);
  const there = (first - other.offset.value + (other.rate.value - 1) * other.at) / other.rate.value;
  return Math.max(0, Math.round(there / b));
}

function tiesOf(whole: WholeStudy, trialId: string) {
  const trial = whole.study.trials.find(({ id }) => id === trialId)!;
  try {
    const { ids, views } = measuredTrial(whole, trial);
    return new Map(ids.map((id, k) => [id, views[k]!] as const));
  } catch (error) {
    if (error instanceof MeasureError) return new Map<string, never>();
    throw error;
  }
}

/** Real seconds from one frame to the next. */
function clockOfView(whole: WholeStudy, id: string): number | null {
  const picture = whole.marks[id]?.picture;
  const view = viewWithId(whole.study, id);
  return picture && view ? picture.frameInterval / view.speedFactor : null;
}
