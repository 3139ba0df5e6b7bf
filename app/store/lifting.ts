import { liftCopiedScales } from "../commands/ice/liftCopiedScales.ts";
import { say } from "./messages.ts";
import { perform, type Session } from "./session.ts";

/** What an older version of a study says in another form, in today's, as a step of its own that undo takes back. */
export function liftOlder(session: Session): void {
  const before = session.getState().whole;
  perform(session, liftCopiedScales, {});
  const { whole } = session.getState();
  if (whole === before) return;
  const count = Object.keys(before.marks).filter(
    (id) => before.marks[id]?.iceReference && !whole.marks[id]?.iceReference,
  ).length;
  say(
    `${count === 1 ? "One trial's scale was" : `The scales of ${count} trials were`} copied from another trial in an older version. Their clips now share one camera set-up with it; nothing measures otherwise, and Undo brings the copies back.`,
    "note",
  );
}
