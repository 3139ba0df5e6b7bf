import { isOfArm, type Quantity } from "../quantities/catalogue.ts";
import type { Study, WholeStudy } from "../study/types.ts";

/** Whether arms are part of a study: somebody picked an arm's extreme, or asks for it in a band. Else nobody misses them. */
export function armsMeant({ study, marks }: WholeStudy): boolean {
  const isAsked = study.techniques.some(({ id }) => asksForArms(study, id));
  const isArm = ({ event }: { readonly event: string }) => event === "arm_front" || event === "arm_back";
  return isAsked || Object.values(marks).some(({ events }) => events.some(isArm));
}

/** Whether a technique is told by how the arms swing. */
export function asksForArms(study: Study, technique: string): boolean {
  const { asked } = study.techniques.find((t) => t.id === technique) ?? { asked: [] };
  return asked.some(({ quantity }) => isOfArm(quantity));
}

/** The quantities of a list that are part of a study. */
export function meantOf<Q extends Quantity>(whole: WholeStudy, quantities: readonly Q[]): readonly Q[] {
  return armsMeant(whole) ? quantities : quantities.filter((q) => !isOfArm(q));
}
