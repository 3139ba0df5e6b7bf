import { viewWithId } from "../study/trialViews.ts";
import type { IceReference, WholeStudy } from "../study/types.ts";
import { setupOf } from "./scaleReference.ts";
import { joined } from "./setupEdits.ts";

/**
 * A study of the older form, in which a scale was copied from one trial to another, with camera set-ups in place of the copies: the
 * trial it was copied to is like the other by word, which measures as much as the unchecked copy did, and the ice points stand once.
 * A copy that says anything the other trial's own scale does not say stays as it is: points since moved or checked on this clip, a picture
 * of another size, a camera that pans, a trial that is gone. The same study where there is nothing to lift.
 */
export function liftCopied(whole: WholeStudy): WholeStudy {
  let lifted = whole;
  for (const [trial, { iceReference, picture }] of Object.entries(whole.marks)) {
    const from = iceReference?.copiedFrom;
    if (from === undefined || !picture || !viewWithId(whole.study, trial) || setupOf(whole, trial)) continue;
    const root = rootOf(whole, trial);
    const its = root === null ? undefined : whole.marks[root];
    if (root === null || !its?.picture || !isPlainCopy(iceReference!, its.iceReference)) continue;
    if (its.picture.width !== picture.width || its.picture.height !== picture.height) continue;
    const marks = { ...lifted.marks, [trial]: { ...lifted.marks[trial]!, iceReference: null } };
    const setups = joined(lifted.study, marks, trial, root);
    lifted = { ...lifted, study: { ...lifted.study, setups }, marks };
  }
  return lifted;
}

/** The trial on whose own clip a copied scale was marked; null where that is not in the study any more. */
function rootOf({ study, marks }: WholeStudy, trial: string): string | null {
  const been = new Set<string>();
  for (let at = trial; !been.has(at); ) {
    been.add(at);
    const from = marks[at]?.iceReference?.copiedFrom;
    if (from === undefined) return marks[at]?.iceReference && viewWithId(study, at) ? at : null;
    at = from;
  }
  return null;
}

/** Nothing is lost when the copy goes. */
function isPlainCopy(copy: IceReference, own: IceReference | null): boolean {
  if (copy.kind === "ice-points-by-frame" || own === null) return false;
  const { copiedFrom: _, ...rest } = copy;
  if (rest.kind === "ice-points" && (rest.rechecks?.length ?? 0) > 0) return false;
  const bare = own.kind === "ice-points" ? withoutRechecks(own) : own;
  return canonical(rest.kind === "ice-points" ? withoutRechecks(rest) : rest) === canonical(bare);
}

function withoutRechecks({ rechecks: _, ...reference }: Extract<IceReference, { kind: "ice-points" }>) {
  return reference;
}

/** Whatever the order of fields in a file. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
      : part,
  );
}
