import { readdirSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { clipSound } from "../../electron/clip/ffmpeg/clipSound.ts";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { MeasureError } from "../../src/errors.ts";
import type { ClipLink, IceReference, TrialMarks } from "../../src/study/types.ts";
import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { blademark } from "../helpers/commandLine.ts";
import { claps, heardScene } from "../helpers/heardScene.ts";
import { soundedClip } from "../helpers/soundedClip.ts";
import { STUDY, sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { dice } from "../validate/random.ts";
import { inputOf } from "../validate/views/driveViews.ts";
import { filmPair, PAIRS } from "../validate/views/family.ts";

const folder = sharedFolder();
const at = (name: string) => join(folder, name);

/** Silence but for one click at sample 4000 of 2 s. */
const CLICK: SoundTrack = {
  rate: 8000,
  begins: 0,
  samples: Int16Array.from({ length: 16000 }, (_, i) => (i >= 4000 && i < 4004 ? 30000 : 0)),
};

/** When the click is, in the clock in which the first picture is at 0. */
async function clickOf(file: string, from = -5, to = 25): Promise<number> {
  const { rate, begins, samples } = await clipSound(await findFfmpeg(), { file, from, to });
  const loudest = samples.reduce((best, x, i) => (Math.abs(x) > Math.abs(samples[best]!) ? i : best), 0);
  return begins + loudest / rate;
}

describe("clipSound", () => {
  // A coder blurs a click over some samples.
  it("is in the clock of the pictures, whichever of the two begins later, in every container", async () => {
    for (const kind of ["mp4", "mov", "mkv"]) {
      for (const late of [0, 0.7, -0.4]) {
        const file = soundedClip(at(`click${late}.${kind}`), CLICK, { seconds: 4, late });
        expect([kind, late, Math.abs((await clickOf(file)) - (0.5 + late)) < 0.003]).toEqual([
          kind,
          late,
          true,
        ]);
      }
    }
  });

  it("holds only the part that is asked for", async () => {
    const file = soundedClip(at("part.mp4"), CLICK, { seconds: 4 });
    const part = await clipSound(await findFfmpeg(), { file, from: 0.3, to: 0.8 });
    expect(part.begins).toBeCloseTo(0.3, 3);
    expect(part.samples).toHaveLength(4000);
    expect(Math.abs((await clickOf(file, 0.3, 0.8)) - 0.5)).toBeLessThan(0.003);
  });

  it("says that a clip has no sound, and stops when asked to", async () => {
    const ffmpeg = await findFfmpeg();
    const file = soundedClip(at("silent.mp4"), null, { seconds: 2 });
    const error = await clipSound(ffmpeg, { file, from: 0, to: 9 }).catch((e: unknown) => e);
    expect((error as MeasureError).code).toBe("no-sound");
    expect((error as MeasureError).coach).toBe('"silent.mp4" has no sound there.');
    const stopped = clipSound(ffmpeg, { file, from: 0, to: 9, signal: AbortSignal.abort() });
    await expect(stopped).rejects.toThrow();
  });

  it("says what is wrong with a file that is no clip", async () => {
    writeFileSync(at("text.mp4"), "not a film");
    const wrong = clipSound(await findFfmpeg(), { file: at("text.mp4"), from: 0, to: 9 });
    await expect(wrong).rejects.toThrow(MeasureError);
  });
});

/** A simulated skate before two cameras, and what they heard: the second's sound begins 0.6 s after its pictures. */
const { film, body } = filmPair(PAIRS[0]!, 1)!;
const lengths = Object.entries(body!)
  .map(([name, metres]) => `${name}=${metres}`)
  .join(",");
const clips = [at("first.mp4"), at("second.mp4")];

beforeAll(() => {
  const [from, late] = [film.offsets[1]! + 0.6, 0.6];
  // In the first one's clock the second one's pictures begin at the offset.
  const [first, second] = heardScene({
    seed: 4,
    spans: [
      [0, 14],
      [from, from + 14],
    ],
    cameras: [
      [45, 0],
      [30, 8],
    ],
    noises: claps(dice(2), [35, 4], 2.6),
  });
  soundedClip(clips[0]!, first, { seconds: 14 });
  soundedClip(clips[1]!, second, { seconds: 14, late });
  soundedClip(at("deaf.mp4"), null, { seconds: 4 });
});

/** Which contacts of a view are picked; absent = all, arms and recoveries as well. */
type Kept = (contact: number, of: number) => boolean;

function views(sounds: readonly string[], kept: readonly (Kept | undefined)[] = [], more = ""): string[] {
  return film.views.flatMap(({ tables, picture }, v) => {
    const put = (name: string, text: string) => {
      writeFileSync(at(`${name}-${v}.csv`), text);
      return at(`${name}-${v}.csv`);
    };
    const [head = "", ...rows] = tables.events.trim().split("\n");
    const contacts = rows.filter((row) => row.startsWith("blade"));
    const keep = kept[v];
    const events = keep ? contacts.filter((_, k) => keep(k, contacts.length)) : rows;
    const files = `marks=${put("marks", tables.marks)},events=${put("events", [head, ...events, ""].join("\n"))},ice=${put("ice", tables.ice)}`;
    const sound = sounds[v] === undefined ? "" : `,sound=${sounds[v]}`;
    return [
      "--view",
      `${files},picture=${picture.width}x${picture.height},mark-sd=1${sound}${v === 1 ? more : ""}`,
    ];
  });
}

const measured = (...args: string[]) => blademark("measure", ...args, "--body", lengths, "--json");

describe("measure --view with sound", () => {
  it("ties by both, and says what each says", async () => {
    const { status, out } = await measured(...views(clips));
    expect(status).toBe(0);
    const [first, second] = JSON.parse(out).views;
    expect(first.sound).toBeUndefined();
    const { sound } = second;
    expect(sound.used).toBe(true);
    expect(sound.cameras_apart_m.places_known).toBe(true);
    expect(Math.abs(sound.offset_s.value - film.offsets[1]!)).toBeLessThan(sound.offset_s.u95);
    // Two clips' sound beside their pictures alone: 2 √2 x 25 ms.
    expect(sound.offset_s.u95).toBeGreaterThan(0.069);
    expect(sound.offset_s.u95).toBeLessThan(0.2);
    expect(Math.abs(second.offset_s.value - film.offsets[1]!)).toBeLessThan(0.02);
    const { out: words } = await blademark("measure", ...views(clips), "--body", lengths);
    expect(words).toMatch(/By sound: add .*±.*\ss \(the cameras are \d+ m apart at most\); used\./);
  });

  it("without sound= it is the same as ever", async () => {
    const { out } = await measured(...views([]));
    expect(out).not.toMatch(/sound/);
  });

  it("ties views that share one event or none, which events alone can't", async () => {
    const one: Kept = (k) => k === 2;
    const early: Kept = (k) => k < 2;
    const late: Kept = (k, of) => k >= of - 2;
    for (const kept of [
      [undefined, one],
      [early, late],
    ]) {
      expect((await measured(...views([], kept))).status).toBe(1);
      const { status, out } = await measured(...views(clips, kept));
      expect(status).toBe(0);
      const { offset_s: offset, sound } = JSON.parse(out).views[1];
      expect(sound.used).toBe(true);
      // One trial in twenty may lie beyond; coverage is in tests/views/heardClock.test.ts.
      expect(Math.abs(offset.value - film.offsets[1]!)).toBeLessThan(1.5 * offset.u95);
      // One event is surer than the sound; without one it is the sound's.
      if (kept[0]) expect(offset.u95).toBeCloseTo(sound.offset_s.u95, 9);
      else expect(offset.u95).toBeLessThan(sound.offset_s.u95 / 2);
    }
  });

  it("says why the sound does not tell: none, and a clip in slow motion", async () => {
    const { out } = await measured(...views([clips[0]!, at("deaf.mp4")]));
    expect(JSON.parse(out).views[1].sound).toEqual({
      value: null,
      why: 'Sound does not tie it: "deaf.mp4" has no sound there.',
    });
    const one: Kept = (k) => k === 2;
    const { status, said } = await measured(...views([clips[0]!, at("deaf.mp4")], [undefined, one]));
    expect(status).toBe(1);
    expect(said).toMatch(
      /only one event fits .* The clips' sound does not tell either: "deaf.mp4" has no sound there\./,
    );
    const slow = JSON.parse((await measured(...views(clips, [], ",speed-factor=1.0001"))).out);
    expect(slow.views[1].sound.why).toMatch(/a clip plays slower or faster than life/);
  });

  it("speaks up where sound and events do not go together, and keeps to the events", async () => {
    const { samples, rate } = await clipSound(await findFfmpeg(), { file: clips[1]!, from: -1, to: 20 });
    const other = soundedClip(at("other.mp4"), { samples, rate, begins: 0 }, { seconds: 14, late: 1.9 });
    const { status, out } = await measured(...views([clips[0]!, other]));
    expect(status).toBe(0);
    const { warnings, views: found } = JSON.parse(out);
    const [warning] = warnings.filter(({ code }: { code: string }) => code === "sound-unlike-events");
    expect(warning.text).toMatch(/The events count, and the sound is not used\./);
    expect(found[1].sound.used).toBe(false);
    expect(Math.abs(found[1].offset_s.value - film.offsets[1]!)).toBeLessThan(0.02);
  });

  it("--listen hears the clips of a study's trial, of which one event is shared, and writes nothing", async () => {
    const link = (id: string, path: string): ClipLink => ({ id, name: id, path, bytes: statSync(path).size });
    const marks = film.views.map((view, v): TrialMarks => {
      const { marks: points, events, iceReference, picture } = inputOf(view, body, 1);
      const contacts = events.filter(({ event }) => event.startsWith("blade")).slice(2, 3);
      return {
        ...{ format: "blademark.marks", version: 1, trial: v === 0 ? "t1" : "t1-two", marks: points },
        picture: { clip: `c${v}`, ...picture, frameInterval: 1 / view.fps },
        iceReference: iceReference as IceReference,
        events: v === 0 ? events : contacts,
      };
    });
    const [first, second] = STUDY.trials;
    const trial = { ...first!, clip: "c0", clips: [{ clip: "c1", role: "view" as const, id: "t1-two" }] };
    const links = clips.map((path, v) => link(`c${v}`, path));
    const study = studyFolder({ ...STUDY, clips: links, trials: [trial, second!] }, marks);
    const before = readdirSync(study, { recursive: true }).sort();
    expect(JSON.parse((await blademark("measure", study, "t1", "--json")).out).views).toBeUndefined();
    const [, two] = JSON.parse((await blademark("measure", study, "t1", "--listen", "--json")).out).views;
    expect(two.sound).toMatchObject({ events: 1, used: true });
    expect(Math.abs(two.offset_s.value - film.offsets[1]!)).toBeLessThan(1.5 * two.offset_s.u95);
    expect(readdirSync(study, { recursive: true }).sort()).toEqual(before);
    expect((await blademark("measure", study, "t2", "--listen")).said).toMatch(/"t2" has no two\.$/m);
    expect((await blademark("measure", study, "--listen")).status).toBe(2);
  });

  it("wants the first one's sound", async () => {
    const { status, said } = await blademark(
      "measure",
      ...views([]).map((v, k) => (k === 3 ? `${v},sound=${clips[1]}` : v)),
    );
    expect(status).toBe(2);
    expect(said).toMatch(/--view 2 gives sound=, but --view 1 does not/);
  });
});
