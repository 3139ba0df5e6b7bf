import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { planFrame } from "../../src/report/still/planStill.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { blademark } from "../helpers/commandLine.ts";
import { DEMO, demo } from "../helpers/demoReadings.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const [WIDTH, HEIGHT] = [1280, 720];
const TRIAL = "aino-open-1";

/** Pixels of a picture by ffmpeg, which has no part in drawing it. */
async function pixels(file: string): Promise<(x: number, y: number) => number[]> {
  const { path } = await findFfmpeg();
  const raw = execFileSync(path, ["-v", "error", "-i", file, "-f", "rawvideo", "-pix_fmt", "rgb24", "-"], {
    maxBuffer: 1e8,
  });
  expect(raw.length).toBe(3 * WIDTH * HEIGHT);
  return (x, y) => [...raw.subarray(3 * (y * WIDTH + x), 3 * (y * WIDTH + x) + 3)];
}

describe("still STUDY TRIAL N", () => {
  const whole = demo();
  const reading = measuredOnce(whole)(TRIAL);
  if (!reading.ok) throw reading.error;
  const stride = reading.value.strides.find((s) => s.readings.stride_width_m.value !== null)!;
  const frame = stride.blade_off_frame;

  it("is that very frame of the clip with the width drawn over it", async () => {
    const [drawn, bare] = [join(temporaryFolder(), "drawn.png"), join(temporaryFolder(), "bare.png")];
    expect((await blademark("still", DEMO, TRIAL, String(frame), "--out", drawn)).status).toBe(0);
    const clip = whole.study.clips.find(
      (c) => c.id === whole.study.trials.find((t) => t.id === TRIAL)!.clip,
    )!;
    await blademark("still", join(DEMO, clip.path), "--frame", String(frame), "--out", bare);
    const [over, under] = [await pixels(drawn), await pixels(bare)];
    const plan = planFrame(whole, TRIAL, reading.value, frame, { width: WIDTH, height: HEIGHT })!;
    const { blade, toward } = plan.width!;
    const at = (share: number) => [
      Math.round(blade.xPx + share * (toward.xPx - blade.xPx)),
      Math.round(blade.yPx + share * (toward.yPx - blade.yPx)),
    ];
    // #14212b, the ink of the line, half way along it.
    const [x, y] = at(0.5);
    const ink = over(x!, y!);
    [0x14, 0x21, 0x2b].forEach((c, k) => {
      expect(Math.abs(ink[k]! - c)).toBeLessThan(12);
    });
    // Where nothing is drawn, the bottom corners, it is the clip's frame to the last bit.
    for (const px of [3, 40, 90, WIDTH - 91, WIDTH - 4])
      for (const py of [HEIGHT - 30, HEIGHT - 3]) expect(over(px, py)).toEqual(under(px, py));
  });

  it("is an SVG that holds its frame and says what it shows, under codes without names", async () => {
    const out = join(temporaryFolder(), "drawn.svg");
    expect((await blademark("still", DEMO, TRIAL, String(frame), "--out", out, "--codes")).status).toBe(0);
    const svg = readFileSync(out, "utf8");
    expect(svg.includes('href="data:image/png;base64,')).toBe(true);
    const words = svg.replace(/base64,[^"]*/g, "");
    expect(words).toMatch(
      /<title>S1, open recovery, trial 1: frame \d+, \w+ blade-off of stride \d+; stride width /,
    );
    expect(words).not.toMatch(/Aino|http:\/\/(?!www\.w3\.org)/);
  });

  it("has no number from a clip that contradicts its trial's time", async () => {
    const out = join(temporaryFolder(), "suspect.svg");
    const events = whole.marks["bea-close-2"]!.events.filter((e) => e.event === "blade_off");
    const ran = await blademark("still", DEMO, "bea-close-2", String(events[3]!.frame), "--out", out);
    expect(ran.status).toBe(0);
    expect(ran.said).toContain("may show another trial");
    expect(readFileSync(out, "utf8")).not.toMatch(/>(width|recovery|touchdown) /);
  });

  it("says what is wrong", async () => {
    const out = join(temporaryFolder(), "x.png");
    expect((await blademark("still", DEMO, TRIAL, "--out", out)).status).toBe(2);
    expect(
      (await blademark("still", DEMO, TRIAL, "3", "--out", join(temporaryFolder(), "x.gif"))).status,
    ).toBe(2);
    expect(await blademark("still", DEMO, "nobody", "3", "--out", out)).toMatchObject({ status: 1 });
    expect(await blademark("still", DEMO, TRIAL, "100000", "--out", out)).toMatchObject({
      status: 1,
      said: expect.stringContaining("there is no frame 100000"),
    });
    const ran = await blademark("still", studyFolder(STUDY), STUDY.trials[0]!.id, "0", "--out", out);
    expect(ran).toMatchObject({ status: 1, said: expect.stringContaining("No clip is linked") });
  });

  it("reads no clip by a link inside the study's folder", async () => {
    const study = temporaryFolder();
    cpSync(DEMO, study, { recursive: true });
    const file = join(study, "study.json");
    const clip = whole.study.clips.find(
      (c) => c.id === whole.study.trials.find((t) => t.id === TRIAL)!.clip,
    )!;
    const clips = whole.study.clips.map((c) => (c.id === clip.id ? { ...c, path: "clips/mine.mp4" } : c));
    writeFileSync(file, JSON.stringify({ ...whole.study, clips }));
    mkdirSync(join(study, "clips"));
    symlinkSync(join(DEMO, clip.path), join(study, "clips", "mine.mp4"));
    const out = join(temporaryFolder(), "x.png");
    const ran = await blademark("still", study, TRIAL, String(frame), "--out", out);
    expect(ran).toMatchObject({
      status: 1,
      said: expect.stringContaining("follows no links inside a study"),
    });
    const report = await blademark("report", study, "--out", join(temporaryFolder(), "report"));
    expect(report.said).toContain("follows no links inside a study");
  });
});
