import { freshId } from "../study/ids.ts";
import { newStudy } from "../study/newStudy.ts";
import type { Study, Trial } from "../study/types.ts";
import { runOrder } from "./runOrder.ts";

/**
 * The study of another evening of the same question: the same skaters with their bodies, techniques with their bands,
 * lane, camera placement and what is worth having; a fresh run order from the next seed, so that who begins with what
 * changes; no times, clips, marks, date or lock of the last one.
 */
export function nextEvening(study: Study): Study {
  const {
    question,
    lane,
    skaters,
    techniques,
    markSdPx,
    worthwhile,
    compare,
    cameraPlan,
    secondCamera,
    markingDepth,
  } = study;
  const { locked, ...plan } = study.plan ?? {};
  const repeats = study.runOrder?.repeats ?? Math.max(1, ...study.trials.map((t) => t.repeat));
  const seed = ((study.runOrder?.seed ?? 0) + 1) % 1_000_000;
  const canOrder = skaters.length > 0 && techniques.length > 0;
  return {
    ...newStudy(),
    ...{ question, lane, skaters, techniques, markSdPx, worthwhile, compare },
    ...(cameraPlan ? { cameraPlan } : {}),
    ...(secondCamera ? { secondCamera } : {}),
    ...(markingDepth ? { markingDepth } : {}),
    ...(Object.keys(plan).length > 0 ? { plan } : {}),
    ...(canOrder ? { runOrder: { seed, repeats }, trials: freshTrials(study, repeats, seed) } : {}),
  };
}

function freshTrials({ skaters, techniques }: Study, repeats: number, seed: number): Trial[] {
  const ids = (list: readonly { readonly id: string }[]) => list.map((item) => item.id);
  const { rows } = runOrder({ skaters: ids(skaters), techniques: ids(techniques), repeats, seed });
  const made: Trial[] = [];
  for (const row of rows) {
    const id = freshId(`${row.skater}-${row.technique}-${row.repeat}`, ids(made), "trial");
    made.push({ ...row, id, time: null, valid: true, speedFactor: 1 });
  }
  return made;
}
