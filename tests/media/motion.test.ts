import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { itWhere } from "../helpers/itWhere.ts";
import { FFMPEG } from "../helpers/paintedClip.ts";
import { at, type Moves, type Warped, warpedClip } from "../helpers/warpedClip.ts";

/**
 * `motion` on clips whose camera motion is known, because ffmpeg's own `perspective` made it: a sample clip with its skater, with
 * noise of a sensor and a coder. Truth in closed form (tests/helpers/warpedClip.ts). Turns, pans, drifts and false alarms on
 * drawn pictures and made-up courses: tests/motion.
 */
let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "blademark-motion-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const clip = (name: string) => join(import.meta.dirname, "../../sample-clips/clips", `${name}.mp4`);

interface Json {
  readonly still: boolean | null;
  readonly noise_px: number | null;
  readonly frames: {
    frame: number;
    dx_px: number | null;
    dy_px: number | null;
    turn_deg: number | null;
    scale: number | null;
  }[];
  readonly bumps: { frame: number; dx_px: number; dy_px: number }[];
  readonly warnings: { code: string; text: string }[];
}

async function motionOf(file: string): Promise<Json> {
  const { status, out } = await blademark("motion", file, "--json");
  expect(status).toBe(0);
  expect(out.trimEnd().split("\n")).toHaveLength(1);
  return JSON.parse(out);
}

/** Of 795 frames the first 60, not coded anew: all of them take a minute (docs/camera-motion.md); 768 x 576, 10 a second: people walk through the view of a fixed camera. Apache 2.0, as OpenCV is. */
const VTEST = "/usr/share/doc/opencv-doc/examples/data/vtest.avi";

const NOISE = "noise=alls=6:allf=t";

function warped(name: string, moves: Moves, more: Partial<Warped> = {}): Promise<Json> {
  return motionOf(
    warpedClip({
      ...{ from: clip("aino-close-1"), file: join(folder, `${name}.mp4`), frames: 100, moves },
      ...{ size: [1280, 720], keep: [640, 480], after: NOISE },
      ...more,
    }),
  );
}

/** Root mean square error of the four numbers of the frames that tell, and how many those are. */
function errors({ frames }: Json, moves: Moves) {
  const known = frames.flatMap((f) => (f.dx_px === null ? [] : [f]));
  const rms = (off: (f: (typeof known)[number]) => number) =>
    Math.sqrt(known.reduce((sum, f) => sum + off(f) ** 2, 0) / known.length);
  return {
    known: known.length,
    dx: rms((f) => f.dx_px! - at(moves.dx ?? {}, f.frame)),
    dy: rms((f) => f.dy_px! - at(moves.dy ?? {}, f.frame)),
    turn: rms((f) => f.turn_deg! - at(moves.turnDeg ?? {}, f.frame)),
    scale: rms((f) => f.scale! - Math.exp(at(moves.logScale ?? {}, f.frame))),
  };
}

/** Two waves of one size have that size as standard deviation; their rates make them jump from frame to frame. */
const jitter = (sd: number): Moves => ({
  dx: {
    waves: [
      [sd, 2.4, 0.3],
      [sd, 5.1, 1],
    ],
  },
  dy: {
    waves: [
      [sd, 1.9, 2],
      [sd, 4.3, 0.5],
    ],
  },
});

const codes = ({ warnings }: Json) => warnings.map(({ code }) => code);

describe("a camera that stands still", () => {
  itWhere(existsSync(VTEST), "no film of Debian's opencv-doc here")(
    "is found still on a real film: under 0.1 px a frame (vtest.avi of Debian's opencv-doc)",
    async () => {
      const file = join(folder, "yard.avi");
      execFileSync(FFMPEG, ["-v", "error", "-i", VTEST, "-c", "copy", "-frames:v", "60", file]);
      const found = await motionOf(file);
      // A fixed camera over a yard with people: whatever is found is the method's own noise.
      expect(found.frames).toHaveLength(60);
      expect(found).toMatchObject({ still: true, bumps: [], warnings: [] });
      for (const { dx_px, dy_px } of found.frames) expect(Math.hypot(dx_px!, dy_px!)).toBeLessThan(0.1);
      const { dx, dy } = errors(found, {});
      const sd = Math.sqrt((dx ** 2 + dy ** 2) / 2);
      expect(found.noise_px! / sd).toBeGreaterThan(0.8);
      expect(found.noise_px! / sd).toBeLessThan(2);
    },
  );

  it("is found still behind a skater, as made and coarsely coded, from the front and the bench", async () => {
    for (const [name, more] of [
      ["still-bench", { from: clip("bea-along-1-bench") }],
      ["still-coarse", { quality: 32 }],
    ] as const) {
      const found = await warped(name, {}, { frames: 30, ...more });
      expect({ name, ...found }).toMatchObject({ still: true, bumps: [], warnings: [] });
      const { known, dx, dy } = errors(found, {});
      expect(known).toBe(30);
      expect(Math.max(dx, dy)).toBeLessThan(0.05);
    }
  });
});

describe("a camera that moves", () => {
  it("is found knocked within two frames and half a pixel while it shakes", async () => {
    const moves: Moves = { ...jitter(1.5), dx: { ...jitter(1.5).dx, steps: [[37, 12]] } };
    const found = await warped("knock-shaking", moves, { frames: 72 });
    expect(found.still).toBe(false);
    expect(found.bumps).toHaveLength(1);
    const [bump] = found.bumps;
    expect(Math.abs(bump!.frame - 37)).toBeLessThanOrEqual(2);
    expect(Math.abs(bump!.dx_px - 12)).toBeLessThan(0.5);
    expect(Math.abs(bump!.dy_px)).toBeLessThan(0.5);
    expect(codes(found)).toContain("camera-bumped");
  });

  it("is followed frame by frame where stabilisation shakes it by 4 px, without steps, and says how well", async () => {
    const found = await warped("shaking", jitter(4), { frames: 50 });
    expect(found).toMatchObject({ still: false, bumps: [] });
    expect(codes(found)).toEqual(["camera-shakes"]);
    const { known, dx, dy } = errors(found, jitter(4));
    expect(known).toBe(50);
    expect(Math.max(dx, dy)).toBeLessThan(0.1);
    const rms = Math.sqrt((dx ** 2 + dy ** 2) / 2);
    expect(found.noise_px! / rms).toBeGreaterThan(0.8);
    expect(found.noise_px! / rms).toBeLessThan(2.5);
  });

  it("is followed where it turns and zooms out", async () => {
    const moves: Moves = {
      turnDeg: { perFrame: 0.08 },
      dx: { perFrame: 0.1 },
      logScale: { perFrame: -0.006 },
    };
    const found = await warped("turn", moves, { frames: 30 });
    expect(found).toMatchObject({ still: false, bumps: [] });
    const { known, dx, turn, scale } = errors(found, moves);
    expect(known).toBe(30);
    expect(turn).toBeLessThan(0.02);
    expect(dx).toBeLessThan(0.1);
    expect(scale).toBeLessThan(0.001);
  });
});

describe("two clips of one camera", () => {
  async function between(one: string, other: string) {
    const { status, out } = await blademark("motion", other, "--like", one, "--json");
    expect(status).toBe(0);
    return JSON.parse(out);
  }

  itWhere(existsSync(VTEST), "no film of Debian's opencv-doc here")(
    "are found not turned on a real film: its first seconds and a part of 45 seconds later (vtest.avi)",
    async () => {
      const parts = ["0", "45"].map((from) => {
        const file = join(folder, `yard-${from}.avi`);
        const cut = ["-ss", from, "-i", VTEST, "-c", "copy", "-frames:v", "20", file];
        execFileSync(FFMPEG, ["-v", "error", ...cut]);
        return file;
      });
      const found = await between(parts[0]!, parts[1]!);
      // A fixed camera: whatever is found is the method's own error.
      expect(found.same_place).toBe(true);
      for (const { value, u95 } of [found.dx_px, found.dy_px, found.turn_deg])
        expect(Math.abs(value)).toBeLessThan(u95);
      expect(found.dx_px.u95).toBeLessThan(0.2);
    },
  );

  it("are told the turn between them, of other moments and coarsely coded; or that the camera was carried", async () => {
    const base = {
      from: clip("aino-close-1"),
      frames: 12,
      size: [1280, 720],
      keep: [640, 480],
      after: NOISE,
    } as const;
    const moves: Moves = {
      dx: { steps: [[0, 7.3]] },
      dy: { steps: [[0, -2.6]] },
      turnDeg: { steps: [[0, 0.25]] },
    };
    const one = warpedClip({ ...base, file: join(folder, "before.mp4"), moves: {} });
    const before = "select=gte(n\\,90),setpts=PTS-STARTPTS";
    const other = warpedClip({ ...base, file: join(folder, "after.mp4"), moves, before, quality: 28 });
    const found = await between(one, other);
    expect(Math.abs(found.dx_px.value - 7.3)).toBeLessThan(found.dx_px.u95);
    expect(Math.abs(found.dy_px.value + 2.6)).toBeLessThan(found.dy_px.u95);
    expect(Math.abs(found.turn_deg.value - 0.25)).toBeLessThan(found.turn_deg.u95);
    expect(found.dx_px.u95).toBeLessThan(0.3);
    // The renderer's camera stood 6 cm aside in this trial (sample-clips/truth), 31 m from where it looks.
    expect(await between(clip("tove-close-1"), clip("tove-close-2"))).toMatchObject({
      same_place: false,
      reason: "place",
    });
  });
});

describe("a picture that does not tell", () => {
  it.each([
    ["dark", "lutyuv=y=16+(val-16)*0.05"],
    ["blurred", "gblur=sigma=14"],
  ])("%s: null, and what to do", async (name, filter) => {
    const found = await warped(name, jitter(1.5), { frames: 8, after: `${filter},${NOISE}` });
    expect(found).toMatchObject({ still: null, noise_px: null, bumps: [] });
    expect(found.frames).toHaveLength(8);
    for (const { dx_px, scale } of found.frames) expect([dx_px, scale]).toEqual([null, null]);
    expect(codes(found)).toEqual(["background-unknown"]);
    expect(found.warnings[0]!.text).toMatch(/Film with .* mark the same ice points/);
  });
});

it("gives the same bytes twice, and says in words what it found", async () => {
  const file = warpedClip({
    ...{ from: clip("aino-close-1"), file: join(folder, "twice.mp4"), frames: 12, moves: jitter(1.5) },
    ...{ size: [1280, 720], keep: [640, 480], after: NOISE },
  });
  const [one, two] = [await blademark("motion", file, "--json"), await blademark("motion", file, "--json")];
  expect(one.out).toBe(two.out);
  const { out, said } = await blademark("motion", file);
  expect(out).toMatch(/^The camera moved/);
  expect(said).toMatch(/Following the camera: 12 of 12 frames/);
  expect(said).toMatch(/Switch stabilisation off/);
});
