import { type JournalStep, MARKS_PREFIX } from "../../src/study/journal.ts";
import { trialLabel } from "../../src/study/labels.ts";
import { PLACE_NAMES, type Place } from "../../src/study/places.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { dismissAll, say } from "./messages.ts";
import { goToPlace, goToTrial, redo, type Session, type SessionState, undo } from "./session.ts";

/** Takes the last thing back; where that can't be seen, says what it was, and where, with a way to it. */
export function undoAndSay(session: Session): void {
  const before = session.getState();
  undo(session);
  const last = before.past.at(-1);
  if (last) sayMoved(session, before, last, "Undone");
}

/** Does again what was taken back, and says it in the same way. */
export function redoAndSay(session: Session): void {
  const before = session.getState();
  redo(session);
  const next = before.future[0];
  if (next) sayMoved(session, before, next, "Done again");
}

function sayMoved(
  session: Session,
  before: SessionState,
  { label, place }: { readonly label: string; readonly place: Place | null },
  what: "Undone" | "Done again",
): void {
  dismissAll();
  const { whole } = session.getState();
  const trial = onlyOne(changedTrials(before.whole, whole));
  const inSight = before.place === "measure" && place === "measure" && trial === before.trial;
  if (inSight) return;
  const elsewhere = place !== null && place !== before.place;
  const of = [trial && trialName(whole, before.whole, trial), elsewhere && `in ${PLACE_NAMES[place]}`];
  const words = of.filter(Boolean).join(", ");
  say(`${what}: ${label}${words ? ` (${words})` : ""}.`, "note", [
    ...(elsewhere ? [{ label: "Show", act: () => show(session, place, trial) }] : []),
    what === "Undone"
      ? { label: "Redo", act: () => redoAndSay(session) }
      : { label: "Undo", act: () => undoAndSay(session) },
  ]);
}

function show(session: Session, place: Place, trial: string | null): void {
  if (trial !== null && session.getState().whole.study.trials.some((t) => t.id === trial))
    goToTrial(session, trial);
  goToPlace(session, place);
}

/** "time 4.90: Aino, open recovery, trial 2"; of a text the text itself, which its label does not say. */
export function stepWords(whole: WholeStudy, { kind, label, changes }: JournalStep): string {
  const trial = onlyOne(
    changes.flatMap(({ document, forth }) =>
      document === "study"
        ? forth.flatMap(({ path: [list, at] }) =>
            list === "trials" && typeof at === "number" ? (whole.study.trials[at]?.id ?? []) : [],
          )
        : [document.slice(MARKS_PREFIX.length)],
    ),
  );
  const [only, ...more] = changes.flatMap((c) => c.forth);
  const text =
    only && "value" in only && more.length === 0 && typeof only.value === "string" ? only.value : "";
  const said = text === "" || label.includes(text) ? "" : ` (“${text.slice(0, 120)}”)`;
  const what = `${kind === "undo" ? "taking back " : ""}${label}${said}`;
  return trial === null ? what : `${what}: ${trialLabel(whole.study, trial)}`;
}

/** The trials that differ between two states. */
function changedTrials(a: WholeStudy, b: WholeStudy): string[] {
  const before = new Map(a.study.trials.map((t) => [t.id, t]));
  const after = new Map(b.study.trials.map((t) => [t.id, t]));
  return [
    ...Object.keys({ ...a.marks, ...b.marks }).filter((id) => a.marks[id] !== b.marks[id]),
    ...[...new Set([...before.keys(), ...after.keys()])].filter((id) => before.get(id) !== after.get(id)),
  ];
}

function onlyOne(trials: readonly string[]): string | null {
  const all = new Set(trials);
  const [first] = all;
  return all.size === 1 && first !== undefined ? first : null;
}

/** A trial that is gone now is named as it was. */
function trialName(now: WholeStudy, before: WholeStudy, trial: string): string {
  const there = now.study.trials.some((t) => t.id === trial);
  return trialLabel((there ? now : before).study, trial);
}
