/** Renders clips (or stills), then writes the truth and the studies, as asked on the command line. */
import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { clockTruth } from "./clock.ts";
import { ALL_CLIPS, EVENINGS } from "./evenings.ts";
import { handMarks, marksText } from "./handMarks.ts";
import { film as filmed } from "./happenings.ts";
import { marksIdOf } from "./people.ts";
import { makeRun } from "./run.ts";
import { film, filmClock } from "./studio.ts";
import { meanHipHeight, truthOf, truthText } from "./truth.ts";

/**
 * `[clip names]` renders those clips, or all; `--no-clips` renders none; `--stills N,N …` draws single frames into the
 * system's temporary folder. Truth and studies are written anew each time except with `--stills`.
 *
 * @param page the browser's half, bundled
 * @param home the folder that holds clips, truth and studies
 */
export async function make(args: readonly string[], page: string, home: string): Promise<void> {
  const stillsAt = args.indexOf("--stills");
  const stills = stillsAt < 0 ? null : args[stillsAt + 1]!.split(",").map(Number);
  const names = args.filter((a, i) => !a.startsWith("--") && (stillsAt < 0 || i !== stillsAt + 1));
  const clocks = EVENINGS.flatMap((e) => e.clocks);
  const all = [
    ...ALL_CLIPS.map((clip) => [clip.name, (out: string) => film(clip, page, out, stills)] as const),
    ...clocks.map((clock) => [clock.name, (out: string) => filmClock(clock, out, stills)] as const),
  ];
  const unknown = names.filter((name) => !all.some((c) => c[0] === name));
  if (unknown.length > 0) throw new Error(`no clip is called ${unknown.join(", ")}`);
  const asked = all.filter(([name]) => names.length === 0 || names.includes(name));
  for (const folder of ["clips", "truth", ...EVENINGS.map((e) => `${e.folder}/marks`)])
    mkdirSync(join(home, folder), { recursive: true });
  for (const [name, rendered] of args.includes("--no-clips") ? [] : asked) {
    const from = performance.now();
    const out = stills ? join(tmpdir(), `${name}-%.rgba`) : join(home, "clips", `${name}.part.mp4`);
    await rendered(out);
    // A clip under its own name is always whole.
    if (!stills) renameSync(out, join(home, "clips", `${name}.mp4`));
    console.log(`${name}: ${((performance.now() - from) / 1000).toFixed(0)} s`);
  }
  if (!stills) writeData(home);
}

function writeData(home: string): void {
  const heights = tapedHipHeights();
  for (const { folder, clips, clocks, study } of EVENINGS) {
    for (const clock of clocks) {
      writeFileSync(join(home, "truth", `${clock.name}.json`), truthText(clockTruth(clock)));
    }
    for (const clip of clips) {
      const shown = filmed(clip, makeRun(clip.run));
      writeFileSync(join(home, "truth", `${clip.name}.json`), truthText(truthOf(shown)));
      const id = marksIdOf(clip);
      if (id === null || clip.unmarked) continue;
      writeFileSync(join(home, folder, "marks", `${id}.json`), marksText(handMarks(shown)));
    }
    writeFileSync(join(home, folder, "study.json"), `${JSON.stringify(study(home, heights), null, 2)}\n`);
  }
}

/** Mean height of each person's mid-hip over the clips of the first evening, metres, by id. */
function tapedHipHeights(): Map<string, number> {
  const heights = new Map<string, number[]>();
  for (const clip of EVENINGS[0]!.clips) {
    const { id } = clip.run.person;
    heights.set(id, [...(heights.get(id) ?? []), meanHipHeight(filmed(clip, makeRun(clip.run)))]);
  }
  return new Map([...heights].map(([id, list]) => [id, list.reduce((a, b) => a + b, 0) / list.length]));
}
