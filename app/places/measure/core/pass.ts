import type { Mark } from "../../../../src/study/types.ts";
import type { AskedPoint } from "../guide/sequence.ts";

/** Which marking of the trial is being done: the first, or one again without seeing the one before. */
export interface Pass {
  readonly pass: number;
  /** Who marks, as they call themselves; "" = not said. */
  readonly observer: string;
}

export const FIRST_PASS: Pass = { pass: 1, observer: "" };

/** What a mark of this pass carries beside its point. */
export function passKey({ pass, observer }: Pass): Pick<Mark, "pass" | "observer"> {
  return { ...(pass === 1 ? {} : { pass }), ...(observer === "" ? {} : { observer }) };
}

/** Marks of this pass; in the first also those somebody named put there. */
export function ofPass(mark: Mark, { pass, observer }: Pass): boolean {
  if ((mark.pass ?? 1) !== pass) return false;
  return pass === 1 || (mark.observer ?? "") === observer;
}

export function markInPass(
  marks: readonly Mark[],
  at: AskedPoint & { readonly frame: number },
  pass: Pass,
): Mark | undefined {
  return marks.find(
    (m) => m.frame === at.frame && m.point === at.point && m.side === at.side && ofPass(m, pass),
  );
}
