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
 * noise of a sensor and a coder. Truth in closed form (tests/helpers/warpedClip.ts).
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

/** Of 795 frames the first 200, not coded anew: all of them take a minute (docs/camera-motion.md); 768 x 576, 10 a second: people walk through the view of a fixed camera. Apache 2.0, as OpenCV is. */
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
      execFileSync(FFMPEG, ["-v", "error", "-i", VTEST, "-c", "copy", "-frames:v", "200", file]);
      const found = await motionOf(file);
      // A fixed camera over a yard with people: whatever is found is the method's own noise.
      expect(found.frames).toHaveLength(200);
      expect(found).toMatchObject({ still: true, bumps: [], warnings: [] });
      for (const { dx_px, dy_px } of found.frames) expect(Math.hypot(dx_px!, dy_px!)).toBeLessThan(0.1);
      const { dx, dy } = errors(found, {});
      const sd = Math.sqrt((dx ** 2 + dy ** 2) / 2);
      expect(found.noise_px! / sd).toBeGreaterThan(0.8);
      expect(found.noise_px! / sd).toBeLessThan(2);
    },
  );

  it("is found still behind a skater, as made and with a sensor's noise, from the front and the bench", async () => {
    for (const [name, more] of [
      ["still", {}],
      ["still-bench", { from: clip("bea-along-1-bench") }],
      ["still-coarse", { quality: 32 }],
    ] as const) {
      const found = await warped(name, {}, { frames: 60, ...more });
      expect({ name, ...found }).toMatchObject({ still: true, bumps: [], warnings: [] });
      const { known, dx, dy } = errors(found, {});
      expect(known).toBe(60);
      expect(Math.max(dx, dy)).toBeLessThan(0.05);
    }
  });
});

describe("a camera that moves", () => {
  it("is seen to drift by a hundredth of a pixel a frame", async () => {
    const moves: Moves = { dx: { perFrame: 0.01 }, dy: { perFrame: -0.004 } };
    const found = await warped("drift", moves);
    expect(found).toMatchObject({ still: false, bumps: [] });
    expect(codes(found)).toEqual(["camera-moves"]);
    expect(errors(found, moves).dx).toBeLessThan(0.08);
  });

  it("is found knocked within two frames and half a pixel, also while it shakes", async () => {
    const steps: readonly [string, Moves, number, number, number][] = [
      ["knock", { dx: { steps: [[61, 3.1]] }, dy: { steps: [[61, -0.4]] } }, 61, 3.1, -0.4],
      ["knock-late", { dx: { steps: [[92, 1.2]] }, dy: { steps: [[92, 2]] } }, 92, 1.2, 2],
      ["knock-shaking", { ...jitter(1.5), dx: { ...jitter(1.5).dx, steps: [[61, 12]] } }, 61, 12, 0],
    ];
    for (const [name, moves, frame, across, down] of steps) {
      const found = await warped(name, moves);
      expect(found.still).toBe(false);
      expect(found.bumps).toHaveLength(1);
      const [bump] = found.bumps;
      expect(Math.abs(bump!.frame - frame)).toBeLessThanOrEqual(2);
      expect(Math.abs(bump!.dx_px - across)).toBeLessThan(0.5);
      expect(Math.abs(bump!.dy_px - down)).toBeLessThan(0.5);
      expect(codes(found)).toContain("camera-bumped");
    }
  });

  it.each([1.5, 4])(
    "is followed frame by frame where stabilisation shakes it by %f px, without steps",
    async (sd) => {
      const found = await warped(`shaking-${sd}`, jitter(sd));
      expect(found).toMatchObject({ still: false, bumps: [] });
      expect(codes(found)).toEqual(["camera-shakes"]);
      const { known, dx, dy } = errors(found, jitter(sd));
      expect(known).toBe(100);
      expect(Math.max(dx, dy)).toBeLessThan(0.1);
    },
  );

  it("is followed on a small picture that jumps by many pixels of its thin lines, or is not told", async () => {
    const found = await warped("small", jitter(4), { keep: [480, 360] });
    const { known, dx, dy } = errors(found, jitter(4));
    expect(known).toBeGreaterThan(85);
    expect(Math.max(dx, dy)).toBeLessThan(0.1);
    expect(found).toMatchObject({ still: false, bumps: [] });
  });

  it("is followed in a turn and in a zoom", async () => {
    const turn: Moves = { turnDeg: { perFrame: 0.04 }, dx: { perFrame: 0.05 } };
    const turned = await warped("turn", turn);
    expect(turned).toMatchObject({ still: false, bumps: [] });
    expect(errors(turned, turn).known).toBe(100);
    expect(errors(turned, turn).turn).toBeLessThan(0.02);
    expect(errors(turned, turn).dx).toBeLessThan(0.1);
    const zoom: Moves = { logScale: { perFrame: -0.003 } };
    const zoomed = await warped("zoom", zoom);
    expect(zoomed).toMatchObject({ still: false, bumps: [] });
    expect(errors(zoomed, zoom).known).toBe(100);
    expect(errors(zoomed, zoom).scale).toBeLessThan(0.001);
    expect(errors(zoomed, zoom).dx).toBeLessThan(0.1);
  });

  it("is followed in a pan that leaves half of frame 0 behind", async () => {
    const pan: Moves = { dx: { perFrame: -2.5 }, dy: { perFrame: 0.2 } };
    const found = await warped("pan", pan);
    expect(found).toMatchObject({ still: false, bumps: [] });
    const { known, dx, dy } = errors(found, pan);
    expect(known).toBeGreaterThan(95);
    expect(Math.max(dx, dy)).toBeLessThan(0.25);
  });
});

describe("a picture that does not tell", () => {
  it.each([
    ["dark", "lutyuv=y=16+(val-16)*0.05"],
    ["blurred", "gblur=sigma=14"],
  ])("%s: null, and what to do", async (name, filter) => {
    const found = await warped(name, jitter(1.5), { frames: 20, after: `${filter},${NOISE}` });
    expect(found).toMatchObject({ still: null, noise_px: null, bumps: [] });
    expect(found.frames).toHaveLength(20);
    for (const { dx_px, scale } of found.frames) expect([dx_px, scale]).toEqual([null, null]);
    expect(codes(found)).toEqual(["background-unknown"]);
    expect(found.warnings[0]!.text).toMatch(/Film with .* mark the same ice points/);
  });
});

it("gives the same bytes twice, and says in words what it found", async () => {
  const file = warpedClip({
    ...{ from: clip("aino-close-1"), file: join(folder, "twice.mp4"), frames: 40, moves: jitter(1.5) },
    ...{ size: [1280, 720], keep: [640, 480], after: NOISE },
  });
  const [one, two] = [await blademark("motion", file, "--json"), await blademark("motion", file, "--json")];
  expect(one.out).toBe(two.out);
  const { out, said } = await blademark("motion", file);
  expect(out).toMatch(/^The camera moved/);
  expect(said).toMatch(/Following the camera: 40 of 40 frames/);
  expect(said).toMatch(/Switch stabilisation off/);
});
