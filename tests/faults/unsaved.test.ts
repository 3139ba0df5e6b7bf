import { expect, it } from "vitest";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { setQuestion } from "../../app/commands/plan/setQuestion.ts";
import { setTime } from "../../app/commands/trials/setTime.ts";
import { type Shell, ShellError } from "../../app/shell/Shell.ts";
import { createKeeper } from "../../app/store/keptSteps.ts";
import { createSession, perform, redo, type Session, undo } from "../../app/store/session.ts";
import { startJournal } from "../../app/store/stepsJournal.ts";
import { unsavedOffer } from "../../app/store/unsavedOffer.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { numbered } from "../helpers/markStep.ts";
import { seeded } from "../helpers/random.ts";
import { storage } from "../helpers/storage.ts";
import { studyFolder } from "../helpers/studyFolder.ts";
import { ALL, outcomes } from "./table.ts";

const CASES = ALL ? 300 : 16;
const PICTURE = { clip: "a", width: 1280, height: 720, frameInterval: 1 / 60 };

/** A window over a vault. The program ends at the `dies`-th request: before it is heard, or after it is on the disk. */
async function windowOn(folder: string, kept: Storage, name: string, dies = Infinity, heard = false) {
  const vault = await Vault.open(folder);
  const opened = { ...vault.opened(), run: name };
  const session = createSession(opened);
  const keeper = createKeeper(kept, folder, name);
  let requests = 0;
  const addSteps: Shell["addSteps"] = async (from, steps) => {
    requests += 1;
    if (requests > dies || (requests === dies && !heard)) throw new ShellError("silent", 0);
    const saved = await vault.addSteps(JSON.parse(JSON.stringify({ from, steps })));
    if (requests === dies) throw new ShellError("silent", 0);
    return saved;
  };
  const journal = startJournal(session, { addSteps }, keeper);
  const settled = () => journal.flush().catch(() => undefined);
  return { vault, opened, session, keeper, settled };
}

/** One thing a person might do, the `n`-th. */
function act(session: Session, n: number, random: () => number): void {
  const what = random();
  if (what < 0.4) perform(session, addMark, { trial: "t1", mark: numbered(1000 + n), picture: PICTURE });
  else if (what < 0.6) perform(session, setTime, { trial: "t2", text: (4 + n / 100).toFixed(2) });
  else if (what < 0.75) perform(session, setQuestion, { question: `question ${n}` });
  else if (what < 0.9) undo(session);
  else redo(session);
}

const plain = ({ study, marks }: WholeStudy) => JSON.parse(JSON.stringify({ study, marks }));

it(`puts back exactly what was done and not saved, in ${CASES} ends of the program under an open window`, {
  timeout: 300_000,
}, async () => {
  const table = outcomes("program ends under an open window, one goes on typing");
  const random = seeded(2014);
  for (let n = 0; n < CASES; n++) {
    const folder = studyFolder();
    const kept = storage();
    const heard = random() < 0.5;
    const first = await windowOn(folder, kept, "first", 1 + Math.floor(random() * 6), heard);
    for (let k = 0; k < 10; k++) {
      act(first.session, k, random);
      await first.settled();
    }
    const done = plain(first.session.getState().whole);

    // Half of the time somebody else works on the study before the browser that kept the rest comes back.
    const newer = random() < 0.5;
    if (newer) {
      const other = await windowOn(folder, storage(), "other");
      perform(other.session, setTime, { trial: "t2", text: "9.99" });
      perform(other.session, addMark, { trial: "t1", mark: numbered(5000), picture: PICTURE });
      await other.settled();
    }

    const second = await windowOn(folder, kept, "second");
    const before = plain(second.session.getState().whole);
    const offer = unsavedOffer(second.opened, second.keeper);
    expect(plain(second.session.getState().whole), `case ${n}: nothing by itself`).toEqual(before);
    offer?.putBack(second.session);
    await second.settled();
    const after = plain((await Vault.open(folder)).opened());
    expect(plain(second.session.getState().whole), `case ${n}: on the disk`).toEqual(after);
    if (newer) {
      const frames = after.marks.t1.marks.map((m: { frame: number }) => m.frame);
      expect(after.study.trials[1].time, `case ${n}: the newer time`).toBe(9.99);
      expect(frames, `case ${n}: the newer mark`).toContain(5000);
      expect(new Set(frames).size, `case ${n}: no mark twice`).toBe(frames.length);
    } else {
      expect(after, `case ${n}: all of it, once`).toEqual(done);
      expect(offer?.late ?? []).toEqual([]);
      expect(kept.length, `case ${n}: nothing is kept any more`).toBe(0);
    }
    table.came(
      `${offer ? "offered and put back" : "all on the disk already"}${newer ? ", what is newer kept" : ""}`,
    );
  }
  table.done();
});
