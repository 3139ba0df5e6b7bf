import { afterEach, describe, expect, it, vi } from "vitest";
import { createHttpShell } from "../../app/shell/httpShell.ts";
import { ShellError } from "../../app/shell/Shell.ts";

/** The window's own path at its port: outside it the host knows nobody. */
const BASE = "http://127.0.0.1:5147/w/own/";

/** Answers requests in turn and keeps what was asked. */
function host(...answers: readonly (Response | Error)[]) {
  const asked: string[] = [];
  const left = [...answers];
  vi.stubGlobal("fetch", async (url: string, init?: RequestInit) => {
    asked.push(`${init?.method ?? "GET"} ${url.replace(BASE, "")}`);
    const next = left.shift();
    if (!next || next instanceof Error) throw next ?? new Error("nothing more to answer");
    return next;
  });
  return asked;
}

afterEach(() => {
  vi.unstubAllGlobals();
});

async function failure(promise: Promise<unknown>): Promise<ShellError> {
  const error = await promise.then(
    () => null,
    (e) => e,
  );
  if (error instanceof ShellError) return error;
  throw new Error(`expected a ShellError, got ${error}`);
}

describe("the window's door over HTTP", () => {
  it("asks only for times it does not have yet and puts them together", async () => {
    const asked = host(
      Response.json({ clip: "c 1", ready: 2, times: [0, 0.1], timesFrom: 0 }),
      Response.json({ clip: "c 1", ready: 3, times: [0.2], timesFrom: 2 }),
    );
    const shell = createHttpShell(BASE);
    expect((await shell.clipIndex("c 1")).times).toEqual([0, 0.1]);
    expect((await shell.clipIndex("c 1")).times).toEqual([0, 0.1, 0.2]);
    expect(asked).toEqual(["GET api/clips/c%201/index?from=0", "GET api/clips/c%201/index?from=2"]);
  });

  it("takes over a clip that was prepared anew, from whatever time the host begins", async () => {
    host(
      Response.json({ clip: "c1", ready: 3, times: [0, 0.1, 0.2], timesFrom: 0 }),
      Response.json({ clip: "c1", ready: 1, times: [0], timesFrom: 0 }),
    );
    const shell = createHttpShell(BASE);
    await shell.clipIndex("c1");
    expect((await shell.clipIndex("c1")).times).toEqual([0]);
  });

  it("passes on the host's own sentence and status", async () => {
    host(Response.json({ error: "Another window has this study open.", code: "locked" }, { status: 423 }));
    const error = await failure(createHttpShell(BASE).openStudy());
    expect(error).toMatchObject({ message: "Another window has this study open.", status: 423 });
  });

  it("has a sentence of its own for an answer without one, and for no answer", async () => {
    host(new Response("<h1>oops</h1>", { status: 500 }), new TypeError("fetch failed"));
    const shell = createHttpShell(BASE);
    expect((await failure(shell.openStudy())).message).toContain("status 500");
    expect((await failure(shell.openStudy())).message).toContain("does not answer");
  });

  it("names frames and trials safely in addresses", async () => {
    const asked = host(Response.json({ savedAt: "2026-11-25T21:04:17Z" }));
    const shell = createHttpShell(BASE);
    expect(shell.frameUrl("a/b", 7)).toBe(`${BASE}api/clips/a%2Fb/frames/7`);
    await shell.saveMarks(
      {
        format: "blademark.marks",
        version: 1,
        trial: "t/1",
        picture: null,
        iceReference: null,
        events: [],
        marks: [],
      },
      3,
    );
    const compared = shell.compareBackgrounds("t/1", "t2", () => undefined, new AbortController().signal);
    await failure(compared);
    expect(asked).toEqual(["PUT api/marks/t%2F1", "POST api/backgrounds/t%2F1/like/t2"]);
  });
});
