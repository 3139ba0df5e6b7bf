import { cpSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { withFilmTools } from "../../electron/film/filmTools.ts";
import { suggestStudyTrial } from "../../electron/suggest/suggestStudy.ts";
import { readStudy } from "../../electron/vault/openStudy.ts";
import type { SuggestNews } from "../../src/study/exchange.ts";
import type { TrialMarks } from "../../src/study/types.ts";
import { suggestText } from "../../src/suggest/suggestJson.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { type TestHost, testHost } from "../helpers/testHost.ts";

const SAMPLES = join(import.meta.dirname, "../../sample-clips");
const TRIAL = "aino-close-1";

/** The demo with one trial of which a stretch of 90 frames matters, taught by its last two strides a side. */
async function taughtStudy(): Promise<{ folder: string; marks: TrialMarks }> {
  const top = temporaryFolder();
  const folder = join(top, "demo-study");
  cpSync(join(SAMPLES, "demo-study"), folder, { recursive: true });
  cpSync(join(SAMPLES, "clips"), join(top, "clips"), { recursive: true });
  const study = JSON.parse(readFileSync(join(folder, "study.json"), "utf8"));
  const clip = study.trials.find((t: { id: string }) => t.id === TRIAL).clip;
  study.clips = study.clips
    .filter((c: { id: string }) => c.id === clip)
    .map((c: object) => ({ ...c, part: { first: 190, last: 330 } }));
  study.trials = study.trials.filter((t: { id: string }) => t.id === TRIAL);
  writeFileSync(join(folder, "study.json"), JSON.stringify(study));
  const all: TrialMarks = JSON.parse(readFileSync(join(folder, "marks", `${TRIAL}.json`), "utf8"));
  const events = all.events.filter((e) => e.frame > 240 && /blade_o/.test(e.event));
  const frames = new Set(events.map((e) => e.frame));
  const marks = { ...all, events, marks: all.marks.filter((m) => frames.has(m.frame)) };
  writeFileSync(join(folder, "marks", `${TRIAL}.json`), JSON.stringify(marks));
  return { folder, marks };
}

async function news(host: TestHost, marks: TrialMarks): Promise<SuggestNews[]> {
  const answer = await host.postJson(`/api/suggestions/${marks.trial}`, marks);
  return (await answer.text())
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line));
}

it("the host suggests the bytes of the command, tells how far it is, stops when nobody listens, and looks once", async () => {
  const { folder, marks } = await taughtStudy();
  const host = await testHost(folder);

  // Whoever stops listening stops it: the next order is not kept waiting by it.
  const left = await host.postJson(`/api/suggestions/${TRIAL}`, marks);
  const reader = left.body!.getReader();
  await reader.read();
  await reader.cancel();

  const then = performance.now();
  const first = await news(host, marks);
  const looked = performance.now() - then;
  const suggested = first.at(-1)!;
  expect(suggested.kind, JSON.stringify(suggested)).toBe("suggested");
  expect(first.filter((n) => n.kind === "progress").length).toBeGreaterThan(2);
  const { whole } = await readStudy(folder, new Date(0));
  const command = await withFilmTools(whole.study, folder, (tools, signal) =>
    suggestStudyTrial(whole, TRIAL, whole.marks[TRIAL]!, tools, { onProgress: () => undefined, signal }),
  );
  expect(command.points.length).toBeGreaterThan(8);
  expect((suggested as { text: string }).text).toBe(suggestText(TRIAL, command));

  // What was seen is kept in the study's cache; taken away, it is looked at again, to the same bytes.
  const kept = () => readdirSync(join(folder, "cache", "suggest"));
  await expect.poll(kept).toHaveLength(1);
  const again = performance.now();
  expect((await news(host, marks)).at(-1)).toEqual(suggested);
  expect(performance.now() - again).toBeLessThan(looked / 4);

  const nobody = { ...marks, marks: [], events: [] };
  expect((await news(host, nobody)).at(-1)).toMatchObject({
    kind: "failed",
    text: expect.stringContaining("Mark two strides of each side by hand first"),
  });
});
