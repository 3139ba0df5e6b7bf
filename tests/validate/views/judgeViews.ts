import type { MeasureDocument } from "../drive.ts";
import type { FilmedTrial, Picked } from "../film.ts";
import { judge, type Verdict } from "../judge.ts";
import type { FilmedView, FilmedViews } from "./filmViews.ts";

/**
 * Verdicts on what is said of strides that some of these views show, against the truth in the clock of `clock`.
 *
 * @param shown the views whose strides the document has, in order of blade-off
 */
export function judgeViews(
  film: FilmedViews,
  shown: readonly FilmedView[],
  said: MeasureDocument,
): Verdict[] {
  const numbers = [...new Set(shown.flatMap((view) => [...view.picked.keys()]))].sort((a, b) => a - b);
  const { skater } = film;
  const [first] = shown as [FilmedView];
  const picked = numbers.map((k): Picked => {
    const own = shown.find((view) => view.picked.has(k))!.picked.get(k)!;
    return { push: skater.pushes[k]!, ...own };
  });
  const swings = new Map(shown.flatMap((view) => view.arms.map((a) => [a.swing, a] as const)));
  const arms = [...swings].map(([swing, { side, end, frame }]) => ({
    ...{ side, end, frame },
    time: skater.swings[swing]!.time,
  }));
  const trial = { skater, picked, fps: first.fps, firstPush: numbers[0]!, arms };
  return judge(trial as unknown as FilmedTrial, said, null);
}
