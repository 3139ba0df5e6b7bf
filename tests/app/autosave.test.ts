import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { setSpeedFactor } from "../../app/commands/clips/setSpeedFactor.ts";
import { addMark } from "../../app/commands/marks/addMark.ts";
import { ShellError } from "../../app/shell/Shell.ts";
import { startAutosave } from "../../app/store/autosave.ts";
import { createSession, perform, undo } from "../../app/store/session.ts";
import type { JournalStep } from "../../src/study/journal.ts";
import { mark, opened, PICTURE } from "./fakeStudy.ts";

const AT = "2026-11-25T21:04:17.000Z";

/** A host that remembers what was saved and can be told to fail. */
function fakeHost() {
  const saved: string[] = [];
  const host = {
    saved,
    fails: false,
    async put(what: string) {
      if (host.fails) throw new ShellError("The disk is full.", 507);
      saved.push(what);
      return { savedAt: AT };
    },
    saveStudy: () => host.put("study"),
    saveMarks: (m: { trial: string; marks: readonly unknown[] }) =>
      host.put(`${m.trial}: ${m.marks.length} marks`),
    addSteps: async () => ({ savedAt: AT }),
    choose: async () => undefined,
    savePosition: async (p: { frame: number }) => {
      saved.push(`frame ${p.frame}`);
    },
  };
  return host;
}

function start(readOnly = false) {
  const session = createSession({ ...opened(), readOnly });
  const host = fakeHost();
  const kept: string[] = [];
  const keeper = {
    keep: (steps: readonly JournalStep[]) => void kept.push(steps.map((s) => s.label).join("; ")),
    keeps: () => true,
  };
  const autosave = startAutosave(session, host, keeper, { delayMs: 400, retryMs: [1000, 3000] });
  const put = (trial: string, frame: number) =>
    perform(session, addMark, { trial, mark: mark({ frame }), picture: { ...PICTURE, clip: trial } });
  return { session, host, autosave, put, kept };
}

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe("autosave", () => {
  it("sends everything at once when the window goes, and where one is", async () => {
    const { session, host, autosave, put } = start();
    put("t1", 1);
    put("t2", 2);
    perform(session, setSpeedFactor, { trial: "t1", factor: 8 });
    session.setState({ frame: 77 });
    autosave.leave();
    // Without waiting for any answer: the page is gone before one comes.
    expect([...host.saved].sort()).toEqual(["frame 77", "study", "t1: 1 marks", "t2: 1 marks"]);
    autosave.stop();
  });

  it("sends nothing when the window goes and all is saved, and no change of a study opened for reading", () => {
    const idle = start();
    idle.autosave.leave();
    expect(idle.host.saved).toEqual([]);
    const reading = start(true);
    reading.put("t1", 1);
    reading.session.setState({ frame: 5 });
    reading.autosave.leave();
    expect(reading.host.saved).toEqual(["frame 5"]);
  });

  it("saves only the trial that changed, once, a moment after the last change", async () => {
    const { host, autosave, put } = start();
    put("t1", 1);
    await vi.advanceTimersByTimeAsync(300);
    put("t1", 2);
    expect(autosave.state.getState()).toEqual({ kind: "saving" });
    await vi.advanceTimersByTimeAsync(399);
    expect(host.saved).toEqual([]);
    await vi.advanceTimersByTimeAsync(1);
    expect(host.saved).toEqual(["t1: 2 marks"]);
    expect(autosave.state.getState()).toEqual({ kind: "saved", at: AT });
    expect(autosave.unsaved()).toBe(false);
  });

  it("saves the study and each changed trial, and not those that did not change", async () => {
    const { session, host, put } = start();
    put("t1", 1);
    put("t2", 1);
    await vi.advanceTimersByTimeAsync(400);
    host.saved.length = 0;
    perform(session, setSpeedFactor, { trial: "t1", factor: 8 });
    put("t2", 2);
    await vi.advanceTimersByTimeAsync(400);
    expect(host.saved).toEqual(["study", "t2: 2 marks"]);
  });

  it("saves what undo brought back, an unmarked trial included", async () => {
    const { session, host, put } = start();
    put("t1", 1);
    await vi.advanceTimersByTimeAsync(400);
    undo(session);
    await vi.advanceTimersByTimeAsync(400);
    expect(host.saved).toEqual(["t1: 1 marks", "t1: 0 marks"]);
  });

  it("says why it failed, tries again by itself, and loses nothing", async () => {
    const { host, autosave, put } = start();
    host.fails = true;
    put("t1", 1);
    await vi.advanceTimersByTimeAsync(400);
    expect(autosave.state.getState()).toEqual({
      ...{ kind: "failed", reason: "The disk is full.", restarted: false, changed: null, kept: true },
    });
    await vi.advanceTimersByTimeAsync(1000);
    expect(autosave.unsaved()).toBe(true);
    host.fails = false;
    await vi.advanceTimersByTimeAsync(3000);
    expect(host.saved).toEqual(["t1: 1 marks"]);
    expect(autosave.state.getState()).toEqual({ kind: "saved", at: AT });
  });

  it("saves a change made while another one is being saved", async () => {
    const { host, put } = start();
    const slow = host.put;
    host.put = async (what) => {
      await new Promise((done) => setTimeout(done, 500));
      return slow(what);
    };
    put("t1", 1);
    await vi.advanceTimersByTimeAsync(600);
    put("t1", 2);
    await vi.advanceTimersByTimeAsync(2000);
    expect(host.saved).toEqual(["t1: 1 marks", "t1: 2 marks"]);
  });

  it("saves at once before the window goes", async () => {
    const { host, autosave, put } = start();
    put("t1", 1);
    await autosave.flush();
    expect(host.saved).toEqual(["t1: 1 marks"]);
    await vi.advanceTimersByTimeAsync(5000);
    expect(host.saved).toEqual(["t1: 1 marks"]);
  });

  it("remembers where one was, once one stays there", async () => {
    const { session, host } = start();
    for (let frame = 1; frame <= 30; frame++) session.setState({ frame });
    await vi.advanceTimersByTimeAsync(400);
    expect(host.saved).toEqual(["frame 30"]);
  });

  it("saves nothing of a study open for reading only", async () => {
    const { session, host } = start(true);
    session.setState({ whole: { ...session.getState().whole } });
    await vi.advanceTimersByTimeAsync(5000);
    expect(host.saved).toEqual([]);
  });

  it("stays loud about a mistake of its own", async () => {
    const { host, autosave, put } = start();
    host.put = async () => {
      throw new TypeError("a bug");
    };
    put("t1", 1);
    await expect(autosave.flush()).rejects.toThrow("a bug");
  });
});
