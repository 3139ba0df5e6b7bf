import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import { markStep, numbered, numbersOf } from "../helpers/markStep.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

/** Many requests at once, each acknowledged: what each was told is on the disk must be there. */
const MANY = 10;

const times = <T>(make: (i: number) => T): T[] => Array.from({ length: MANY }, (_, i) => make(i));
const onDisk = (folder: string, file: string) => JSON.parse(readFileSync(join(folder, file), "utf8"));

it("documents are whole, and the last one acknowledged is the one that stands", async () => {
  const folder = studyFolder();
  const { putJson, get } = await testHost(folder);
  const study = await Promise.all(times((i) => putJson("/api/study", { ...STUDY, question: `asked ${i}` })));
  expect(study.map((a) => a.status)).toEqual(times(() => 200));
  const now = (await (await get("/api/study")).json()).study as Study;
  expect(now.question).toMatch(/^asked \d$/);
  expect(onDisk(folder, "study.json").question, "the disk says what the window is told").toBe(now.question);

  const marks = (trial: string, n: number) => ({ ...emptyMarks(trial), marks: [numbered(n)] });
  const put = await Promise.all(
    times((i) => putJson(`/api/marks/t${1 + (i % 2)}`, marks(`t${1 + (i % 2)}`, i))),
  );
  expect(put.map((a) => a.status)).toEqual(times(() => 200));
  for (const trial of ["t1", "t2"])
    expect(onDisk(folder, `marks/${trial}.json`)).toMatchObject({
      trial,
      marks: [{ xPx: expect.any(Number) }],
    });

  const positions = await Promise.all(
    times((frame) => putJson("/api/position", { place: "measure", trial: "t1", frame })),
  );
  expect(positions.map((a) => a.status)).toEqual(times(() => 204));
  expect(onDisk(folder, "cache/position.json")).toMatchObject({ place: "measure", trial: "t1" });
});

it("two clips that are alike are not each given up for the other", async () => {
  const folder = studyFolder();
  const { host } = await testHost(folder);
  const add = () => host.vault.clips.add("round.mp4", new Blob(["one film"]).stream());
  const [one, two] = [await add(), await add()];
  const [twinOfOne, twinOfTwo] = [host.vault.clips.twinOf(one), host.vault.clips.twinOf(two)];
  expect([twinOfOne?.path, twinOfTwo?.path]).toEqual([two.path, one.path]);
  const kept = [
    (await host.vault.clips.takeBack(one, twinOfOne!.path)) ?? one,
    (await host.vault.clips.takeBack(two, twinOfTwo!.path)) ?? two,
  ];
  for (const { path } of kept) expect(readFileSync(join(folder, path), "utf8")).toBe("one film");
});

it("steps that go on from the same one are not both acknowledged, and one sent twice is made once", async () => {
  const folder = studyFolder();
  const { postJson, host } = await testHost(folder);
  const { study, marks } = host.vault.opened();
  const before = numbersOf({ study, marks });
  const steps = times((i) => ({ ...markStep({ study, marks }, "t1", 100 + i).step, id: `step-${i}` }));
  const answers = await Promise.all(steps.map((step) => postJson("/api/steps", { from: 0, steps: [step] })));
  const made = answers.flatMap((a, i) => (a.status === 200 ? [100 + i] : []));
  expect(numbersOf(host.vault.opened()), "what was acknowledged, and nothing else").toEqual([
    ...before,
    ...made,
  ]);
  expect(made).toHaveLength(1);
  for (const answer of answers.filter((a) => a.status !== 200))
    expect(await answer.json()).toMatchObject({ code: "other-steps" });
  const twice = await Promise.all(
    times(() => postJson("/api/steps", { from: 0, steps: [steps[(made[0] as number) - 100]] })),
  );
  expect(twice.map((a) => a.status)).toEqual(times(() => 200));
  expect(numbersOf(host.vault.opened())).toEqual([...before, ...made]);
});
