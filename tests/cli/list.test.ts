import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { main } from "../../electron/commandLine.ts";
import { blademark } from "../helpers/commandLine.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");
const folder = sharedFolder();

interface Listed {
  study: string;
  step: string;
  trial: string | null;
  clip: string | null;
  state: "done" | "to do" | "blocked";
  why: string | null;
  command: string[];
  key: string | null;
  output: string | null;
}

/** The demo without its clips: nothing here needs ffmpeg. */
function studyNamed(name: string): string {
  const to = join(folder, name);
  cpSync(DEMO, to, { recursive: true });
  change(to, "study.json", (study) => {
    study.clips = [];
    for (const trial of study.trials) delete trial.clip;
  });
  return to;
}

// biome-ignore lint/suspicious/noExplicitAny: a file, as freely as a test changes it
function change(study: string, name: string, edit: (json: any) => void): void {
  const json = JSON.parse(readFileSync(join(study, name), "utf8"));
  edit(json);
  writeFileSync(join(study, name), JSON.stringify(json));
}

async function listed(...studies: string[]): Promise<Listed[]> {
  const run = await blademark("list", ...studies, "--json");
  expect(run.status).toBe(0);
  const json = JSON.parse(run.out);
  expect(json).toMatchObject({ format: "blademark.list", version: 1, studies });
  return json.steps;
}

const measureOf = (steps: readonly Listed[], trial: string) =>
  steps.find((s) => s.step === "measure" && s.trial === trial)!;

describe("list and step", () => {
  it("names every trial and the report, with why what can't be done is blocked", async () => {
    const study = studyNamed("named");
    const steps = await listed(study);
    const marked = readdirSync(join(study, "marks")).map((name) => name.replace(".json", ""));
    const toMeasure = steps.filter((s) => s.step === "measure" && s.state === "to do").map((s) => s.trial);
    expect(new Set(toMeasure)).toEqual(new Set(marked));
    expect(steps.filter((s) => s.step === "measure")).toHaveLength(20);
    expect(measureOf(steps, "wren-open-2")).toMatchObject({
      state: "blocked",
      why: "Nothing is marked on it yet.",
    });
    expect(steps.filter((s) => s.step === "report")).toMatchObject([{ state: "to do", trial: null }]);
    expect(new Set(steps.map((s) => s.output)).size).toBe(steps.length);
  });

  it("does a step by its own command: what measure prints is kept, and the step is done", async () => {
    const study = studyNamed("done");
    const { command, output, key } = measureOf(await listed(study), "aino-open-1");
    expect((await blademark(...command)).status).toBe(0);
    const kept = JSON.parse(readFileSync(join(study, output!), "utf8"));
    const printed = JSON.parse((await blademark("measure", study, "aino-open-1", "--json")).out);
    expect(kept).toEqual({
      ...{ format: "blademark.step", version: 1, step: "measure", trial: "aino-open-1", clip: null, key },
      ...{ answer: printed, why: null },
    });
    const after = await listed(study);
    expect(after.filter((s) => s.state === "done").map((s) => s.trial)).toEqual(["aino-open-1"]);
    const before = readFileSync(join(study, output!));
    const again = await blademark(...command);
    expect(again.said).toContain("Done before");
    expect(readFileSync(join(study, output!))).toEqual(before);
  });

  it("asks for a step again after what it rests on has changed, and keeps no older answer", async () => {
    const study = studyNamed("changed");
    await blademark(...measureOf(await listed(study), "aino-open-1").command);
    change(study, "marks/aino-open-1.json", (marks) => {
      marks.marks[0].xPx += 0.5;
    });
    const now = measureOf(await listed(study), "aino-open-1");
    expect(now.state).toBe("to do");
    await blademark(...now.command);
    expect(readdirSync(join(study, "results/measure"))).toEqual([now.output!.split("/").at(-1)]);
  });

  it("has the same keys wherever the study lies and however its file is laid out, and others for other input", async () => {
    const [one, two] = [studyNamed("one"), studyNamed("two")];
    const keysIn = async (study: string) => (await listed(study)).map((s) => s.key);
    const keys = await keysIn(one);
    expect(await keysIn(two)).toEqual(keys);
    const text = JSON.parse(readFileSync(join(two, "study.json"), "utf8"));
    writeFileSync(
      join(two, "study.json"),
      JSON.stringify(Object.fromEntries(Object.entries(text).reverse()), null, 3),
    );
    expect(await keysIn(two)).toEqual(keys);
    change(two, "study.json", (study) => {
      study.trials[0].time += 0.01;
    });
    const others = await keysIn(two);
    expect(others.filter((key, i) => key === keys[i])).toEqual([]);
  });

  it("keeps an answer that can't be had as one, with why, and does not ask for it again", async () => {
    const study = studyNamed("refused");
    change(study, "marks/aino-open-1.json", (marks) => {
      marks.picture = null;
    });
    const { command } = measureOf(await listed(study), "aino-open-1");
    const run = await blademark(...command);
    expect(run.status).toBe(0);
    const after = measureOf(await listed(study), "aino-open-1");
    expect(after.state).toBe("blocked");
    expect(after.why!.length).toBeGreaterThan(20);
    expect((await blademark(...command)).status).toBe(1);
  });

  it("keeps no answer to a study that was changed while it was worked out", async () => {
    const study = studyNamed("meanwhile");
    // A file of a later version: the step says so once it has read the study, and before it measures.
    change(study, "marks/bea-open-1.json", (marks) => {
      marks.version = 2;
    });
    const { command } = measureOf(await listed(study), "aino-open-1");
    const said: string[] = [];
    const status = await main([...command], {
      out: () => undefined,
      say: (text) => {
        if (said.length === 0)
          change(study, "marks/aino-open-1.json", (marks) => {
            marks.marks[0].xPx += 0.5;
          });
        said.push(text);
      },
    });
    expect([status, said.at(-1)]).toEqual([1, expect.stringContaining("changed while")]);
    expect(existsSync(join(study, "results"))).toBe(false);
    expect(measureOf(await listed(study), "aino-open-1").state).toBe("to do");
  });

  it("believes no answer that is half there or another's", async () => {
    const study = studyNamed("half");
    const { command, output } = measureOf(await listed(study), "aino-open-1");
    await blademark(...command);
    const whole = readFileSync(join(study, output!), "utf8");
    writeFileSync(join(study, output!), whole.slice(0, whole.length / 2));
    expect(measureOf(await listed(study), "aino-open-1").state).toBe("to do");
    writeFileSync(join(study, output!), whole.replace(/"key":"./, '"key":"x'));
    expect(measureOf(await listed(study), "aino-open-1").state).toBe("to do");
  });

  it("writes through no link, and a folder that is no study holds up no other", async () => {
    const study = studyNamed("linked");
    const elsewhere = mkdtempSync(join(folder, "elsewhere-"));
    const { command } = measureOf(await listed(study), "aino-open-1");
    symlinkSync(elsewhere, join(study, "results"));
    expect((await blademark(...command)).status).toBe(1);
    expect(readdirSync(elsewhere)).toEqual([]);
    const steps = await listed(join(folder, "nowhere"), studyNamed("beside"));
    expect(steps[0]).toMatchObject({ step: "open", state: "blocked" });
    expect(steps.length).toBeGreaterThan(20);
  });

  it("says of a clip that is not there that its steps are blocked", async () => {
    const study = join(folder, "clipless");
    cpSync(DEMO, study, { recursive: true });
    const steps = await listed(study);
    const prepares = steps.filter((s) => s.step === "prepare");
    expect(prepares).toHaveLength(13);
    const motions = steps.filter((s) => s.step === "motion");
    expect(new Set(motions.map((s) => s.clip)).size).toBe(13);
    for (const s of [...prepares, ...motions])
      expect(s).toMatchObject({ state: "blocked", output: null, key: null });
  });
});
