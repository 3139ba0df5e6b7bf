import { describe, expect, it } from "vitest";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { setTime } from "../../app/commands/trials/setTime.ts";
import { keptWords } from "../../app/frame/SaveProblem.tsx";
import { ShellError } from "../../app/shell/Shell.ts";
import { createKeeper } from "../../app/store/keptSteps.ts";
import { createSession, perform, undo } from "../../app/store/session.ts";
import { startJournal } from "../../app/store/stepsJournal.ts";
import { unsavedOffer } from "../../app/store/unsavedOffer.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import { storage } from "../helpers/storage.ts";
import { mark, opened, PICTURE } from "./fakeStudy.ts";

/** A window of the study whose host answers as told. */
function windowOn(kept: Storage, name: string, answer: () => Promise<{ savedAt: string }>) {
  const session = createSession(opened());
  const keeper = createKeeper(kept, "Lake Orrin", name, () => 1000);
  const sent: JournalStep[] = [];
  const journal = startJournal(
    session,
    {
      addSteps: async (_, steps) => {
        sent.push(...steps);
        return answer();
      },
    },
    keeper,
  );
  return { session, keeper, journal, sent };
}

const saved = async () => ({ savedAt: "" });
const silent = async () => {
  throw new ShellError("silent", 0);
};
const offered = (kept: Storage, parts = {}) =>
  unsavedOffer({ ...opened(), ...parts }, createKeeper(kept, "Lake Orrin", "later"));

describe("steps the browser keeps", () => {
  it("are promised for the window's own address, and where the browser keeps nothing, not at all", () => {
    const here = { host: "127.0.0.1:22222", port: "22222" };
    expect(keptWords(true, here)).toContain("opened again at 127.0.0.1:22222");
    expect(keptWords(true, { host: "study", port: "" })).toContain("offered when the study is opened again.");
    expect(keptWords(false, here)).toBe(
      "This browser can't keep it: leave this window open until it is saved.",
    );
  });

  it("are those the host has not acknowledged, and no others", async () => {
    const kept = storage();
    const good = windowOn(kept, "good", saved);
    perform(good.session, setTime, { trial: "t1", text: "4.90" });
    expect(kept.length, "kept before any answer").toBe(1);
    await good.journal.flush();
    expect(kept.length).toBe(0);
    expect(offered(kept)).toBeNull();

    const bad = windowOn(kept, "bad", silent);
    perform(bad.session, setTime, { trial: "t1", text: "4.90" });
    perform(bad.session, addMark, { trial: "t1", mark: mark(), picture: PICTURE });
    undo(bad.session);
    await expect(bad.journal.flush()).rejects.toThrow();
    const offer = offered(kept);
    expect(offer?.fit.map((s) => `${s.kind} ${s.label}`)).toEqual([
      "do time 4.90",
      "do mark left blade, heel end",
      "undo mark left blade, heel end",
    ]);
    expect(offer?.at).toBe(1000);
    expect(unsavedOffer(opened(), createKeeper(kept, "Another", "next")), "nothing of another").toBeNull();
  });

  it("are put back one by one, each to be undone, and kept as the new window's own until they are saved", async () => {
    const kept = storage();
    const bad = windowOn(kept, "bad", silent);
    perform(bad.session, setTime, { trial: "t1", text: "4.90" });
    perform(bad.session, setTime, { trial: "t2", text: "5.10" });
    await bad.journal.flush().catch(() => undefined);
    const next = windowOn(kept, "next", silent);
    unsavedOffer(opened(), next.keeper)?.putBack(next.session);
    const times = () => next.session.getState().whole.study.trials.map((t) => t.time);
    expect(times()).toEqual([4.9, 5.1]);
    expect(
      offered(kept)?.fit.map((s) => s.label),
      "not saved yet: kept on",
    ).toEqual(["time 4.90", "time 5.10"]);
    undo(next.session);
    expect(times()).toEqual([4.9, null]);
    await next.journal.flush().catch(() => undefined);
    expect(next.sent.map((s) => s.id).slice(0, 1), "under the name it had").toEqual([bad.sent[0]?.id]);
  });

  it("are not offered when the journal has them", async () => {
    const kept = storage();
    const bad = windowOn(kept, "bad", silent);
    perform(bad.session, setTime, { trial: "t1", text: "4.90" });
    await bad.journal.flush().catch(() => undefined);
    const steps = JSON.parse(JSON.stringify(bad.sent));
    expect(offered(kept, { ...bad.session.getState().whole, steps, stepsMade: 1 })).toBeNull();
    expect(kept.length).toBe(0);
  });

  it("go on being kept when the host takes whole documents only, until those are saved", async () => {
    const kept = storage();
    const apart = windowOn(kept, "apart", async () => {
      throw new ShellError("missing", 409, "steps-missing");
    });
    perform(apart.session, setTime, { trial: "t1", text: "4.90" });
    await apart.journal.flush();
    perform(apart.session, setTime, { trial: "t2", text: "5.10" });
    expect(offered(kept)?.fit.map((s) => s.label)).toEqual(["time 4.90", "time 5.10"]);
    apart.journal.allSaved();
    expect(kept.length).toBe(0);
  });

  it("do no harm where the browser has no room, gives none, or holds something else", async () => {
    const full = windowOn(storage(10), "full", silent);
    perform(full.session, setTime, { trial: "t1", text: "4.90" });
    expect(full.session.getState().whole.study.trials[0]?.time).toBe(4.9);
    expect(full.keeper.keeps(), "said, so that nobody closes the window").toBe(false);
    const none = createKeeper(null, "Lake Orrin", "none");
    none.keep([]);
    expect(none.keeps()).toBe(false);
    expect(windowOn(storage(), "roomy", silent).keeper.keeps()).toBe(true);
    expect(none.found()).toEqual([]);
    const odd = storage();
    odd.setItem("blademark unsaved Lake Orrin a", "{");
    odd.setItem("blademark unsaved Lake Orrin b", JSON.stringify({ at: 1, steps: [{ kind: "harm" }] }));
    odd.setItem("blademark unsaved Lake Orrin two words", JSON.stringify({ at: 1, steps: [] }));
    odd.setItem("something else", "{}");
    expect(offered(odd)).toBeNull();
    expect(odd.getItem("something else")).toBe("{}");
  });
});
