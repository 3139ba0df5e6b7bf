/** What a file quotes may be as long as the file; no sentence is longer than a person reads. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, vi } from "vitest";
import { failure } from "../../electron/host/replies.ts";
import { readStudy } from "../../electron/vault/openStudy.ts";
import { MeasureError, shortened } from "../../src/errors.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

const READABLE = 2000;
const LONG = 20_000_000;

describe("a sentence that quotes something endless", () => {
  it("still says what is wrong and what to do", () => {
    const { coach, message } = new MeasureError(
      "x",
      `got ${"y".repeat(LONG)}`,
      `The clip "${"a".repeat(LONG)}" is not there. Put it back.`,
    );
    expect(coach).toMatch(/^The clip "a+ … a+" is not there\. Put it back\.$/);
    expect(coach.length).toBeLessThan(250);
    expect(message.length).toBeLessThanOrEqual(READABLE);
    expect(shortened('Short and "quoted".')).toBe('Short and "quoted".');
    // Characters of two units are never cut in half: a lone one cannot be encoded (ECMA-262, Encode).
    for (const shift of ["", "x"])
      expect(() => encodeURIComponent(shortened(shift + "😀".repeat(LONG / 10)))).not.toThrow();
    // Many short quotes are no way round it.
    expect(shortened('"ab" '.repeat(LONG / 10)).length).toBeLessThanOrEqual(READABLE);
  });

  it.each([
    ["a trial's id", { trials: [{ ...STUDY.trials[0], id: "t".repeat(LONG) }] }],
    ["a trial's time", { trials: [{ ...STUDY.trials[0], time: "5".repeat(LONG) }] }],
    ["a key", { skaters: [{ id: "a", name: "A", code: "A", body: { ["b".repeat(LONG)]: 1 } }], lane: 5 }],
    ["a format", { format: "f".repeat(LONG) }],
  ])("is cut where %s of a study is", async (_, wrong) => {
    const folder = studyFolder();
    writeFileSync(join(folder, "study.json"), JSON.stringify({ ...STUDY, ...wrong }));
    const error = await readStudy(folder, new Date()).then(
      () => null,
      (e: MeasureError) => e,
    );
    expect(error?.coach.length).toBeLessThanOrEqual(READABLE);
    expect(error?.message.length).toBeLessThanOrEqual(READABLE);
  });

  it("is cut where a request or a mistake of ours is", async () => {
    const host = await testHost(studyFolder());
    for (const path of [`marks/${"m".repeat(100_000)}`, `clips/${"c".repeat(100_000)}/index`]) {
      const method = path.startsWith("marks") ? "PUT" : "GET";
      const answer = await host.get(`/api/${path}`, {
        ...(method === "PUT" ? { method, body: "{}", headers: { "content-type": "application/json" } } : {}),
      });
      const { error } = await answer.json();
      expect(error.length, path.slice(0, 10)).toBeLessThanOrEqual(READABLE);
    }
    const loud = vi.spyOn(console, "error").mockImplementation(() => undefined);
    const bug = await failure(new Error("e".repeat(LONG))).json();
    loud.mockRestore();
    expect(bug.error.length).toBeLessThanOrEqual(READABLE);
  });
});
