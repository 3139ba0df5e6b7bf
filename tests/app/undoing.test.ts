import { beforeEach, describe, expect, it } from "vitest";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { setTime } from "../../app/commands/trials/setTime.ts";
import { dismissAll, messages } from "../../app/store/messages.ts";
import { createSession, goToPlace, goToTrial, perform, type Session } from "../../app/store/session.ts";
import { redoAndSay, undoAndSay } from "../../app/store/undoing.ts";
import { mark, opened, PICTURE } from "./fakeStudy.ts";

beforeEach(dismissAll);

const said = () => messages.getState().list.map((m) => m.text);
const press = (label: string) =>
  messages
    .getState()
    .list.at(-1)
    ?.actions.find((a) => a.label === label)
    ?.act();
const time = (session: Session, n: number) => session.getState().whole.study.trials[n]?.time;
const put = (session: Session, trial: string) =>
  perform(session, addMark, { trial, mark: mark(), picture: { ...PICTURE, clip: trial } });

/** A time typed in Times, then on to Measure. */
function measuring(): Session {
  const session = createSession(opened());
  goToPlace(session, "times");
  perform(session, setTime, { trial: "t2", text: "4.90" });
  goToPlace(session, "measure");
  return session;
}

describe("undo of what is out of sight", () => {
  it("says what it was, of which trial and where, moves nothing, and offers the way there and redo", () => {
    const session = measuring();
    session.setState({ frame: 40 });
    undoAndSay(session);
    expect(time(session, 1)).toBeNull();
    expect(said()).toEqual(["Undone: time 4.90 (Signe, open recovery, trial 2, in Times)."]);
    expect(session.getState()).toMatchObject({ place: "measure", trial: "t1", frame: 40 });
    press("Show");
    expect(session.getState()).toMatchObject({ place: "times", trial: "t2" });
    expect(time(session, 1)).toBeNull();
    goToPlace(session, "measure");
    redoAndSay(session);
    expect(time(session, 1)).toBe(4.9);
    expect(said()).toEqual(["Done again: time 4.90 (Signe, open recovery, trial 2, in Times)."]);
    press("Undo");
    expect(time(session, 1)).toBeNull();
    press("Redo");
    expect(time(session, 1)).toBe(4.9);
  });

  it("goes to the other trial when its marks are what is undone, and says so", () => {
    const session = createSession(opened());
    goToPlace(session, "measure");
    goToTrial(session, "t2");
    put(session, "t2");
    goToTrial(session, "t1");
    undoAndSay(session);
    expect(session.getState()).toMatchObject({ place: "measure", trial: "t2" });
    expect(said()).toEqual(["Undone: mark left blade, heel end (Signe, open recovery, trial 2)."]);
  });

  it("says of marks undone from another place where they are", () => {
    const session = createSession(opened());
    goToPlace(session, "measure");
    put(session, "t1");
    goToPlace(session, "report");
    undoAndSay(session);
    expect(said()).toEqual([
      "Undone: mark left blade, heel end (Signe, open recovery, trial 1, in Measure).",
    ]);
    press("Show");
    expect(session.getState()).toMatchObject({ place: "measure", trial: "t1" });
  });

  it("keeps quiet about a mark undone on the frame one looks at", () => {
    const session = createSession(opened());
    goToPlace(session, "measure");
    put(session, "t1");
    undoAndSay(session);
    redoAndSay(session);
    expect(said()).toEqual([]);
    undoAndSay(session);
    undoAndSay(session);
    expect(said(), "nothing is left to undo").toEqual([]);
  });
});
