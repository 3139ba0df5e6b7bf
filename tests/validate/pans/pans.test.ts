import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { measure } from "../../../electron/commands/measure.ts";
import type { ClipMotion } from "../../../src/study/types.ts";
import type { MeasureDocument } from "../drive.ts";
import { dice } from "../random.ts";
import { rowOf, type Tally } from "../tally.ts";
import { type FilmedPan, filmPan } from "./filmPan.ts";
import { followedCourse } from "./followed.ts";
import { KINDS, measured, panTally } from "./pan.ts";

/**
 * Simulated pans after a sprinter (an own camera, its rows read one after the other where the kind says so), ice points on the first,
 * middle and last marked frame, eight on each, and what follows the background said as a follower of places would say it. The share
 * of chance is about ± 2 of 100 for all distances of a kind. More skaters a kind, and what came of them: docs/camera-motion.md.
 */
const SEED = 20260117;
const SKATERS = 6;

function held(tally: Tally): { readonly share: number; readonly given: number } {
  let [given, covered] = [0, 0];
  for (const [key, sums] of tally) {
    if (!/^[a-z].*_m$/.test(key) || key.startsWith("mean ") || key.startsWith("first ")) continue;
    given += sums.given;
    covered += sums.covered;
  }
  return { share: covered / given, given };
}

const done = new Map<string, Tally>();
function run(kind: string, how: "points" | "carried"): Tally {
  const key = `${kind} ${how}`;
  const tally = done.get(key) ?? panTally(KINDS[kind]!, how, SEED, SKATERS);
  done.set(key, tally);
  return tally;
}

describe("a pan carried by its background from three frames with ice points", () => {
  it.each(["front", "close", "shakingMuch", "zoomed", "all"])("%s: its intervals hold", (kind) => {
    const tally = run(kind, "carried");
    const { share, given } = held(tally);
    expect(given).toBeGreaterThan(100);
    expect(share).toBeGreaterThan(0.9);
    expect(tally.get("refused trials")).toBeUndefined();
  });

  it("gives widths as good as two ice points on each frame do", () => {
    const [points, carried] = (["points", "carried"] as const).map((how) =>
      rowOf(run("front", how).get("stride_width_m")!),
    );
    expect(carried!.n).toBeGreaterThanOrEqual(points!.n);
    expect(carried!.sd).toBeLessThan(1.1 * points!.sd);
    expect(carried!.u95).toBeLessThan(1.05 * points!.u95);
  });
});

const film = filmPan(SEED, KINDS.close!, 0, 0);
const motion = followedCourse(film.course, ...film.part, dice(SEED, 1));

function widthWhys(document: MeasureDocument | string): string {
  if (typeof document === "string") return document;
  return document.strides.map((s) => s.stride_width_m!.why ?? "").join("\n");
}

/** How many stride widths are given. */
function widths(document: MeasureDocument | string): number {
  if (typeof document === "string") return 0;
  return document.strides.filter((s) => s.stride_width_m!.value !== null).length;
}

function withRows(changed: (row: readonly string[]) => readonly string[] | null): FilmedPan {
  const [head, ...rows] = film.tables.ice.trim().split("\n");
  const lines = rows.flatMap((row) => {
    const cells = changed(row.split(","));
    return cells ? [cells.join(",")] : [];
  });
  return { ...film, tables: { ...film.tables, ice: [head, ...lines].join("\n") } };
}

describe("what a pan's background can't carry is refused in words", () => {
  const keys = [
    ...new Set(
      film.tables.ice
        .trim()
        .split("\n")
        .slice(1)
        .map((r) => Number(r.split(",")[0])),
    ),
  ];

  it("frames of which it tells nothing, and all beyond where it is lost", () => {
    expect(widthWhys(measured(film, null))).toMatch(/no ice points.*let the clip's background be looked at/);
    const lostAt = Math.round((keys[0]! + keys[1]!) / 2);
    const frames = motion.frames.map((f, k) => (Math.abs(motion.first + k - lostAt) < 15 ? null : f));
    // A third of the picture's width is gone on the other side of so long a gap, but not all of it: the way is still known,
    // and only widths that rest on what was picked within the gap are not given.
    const within = film.picked.filter(({ off, on }) => [off, on].some((f) => Math.abs(f - lostAt) < 15));
    expect(within.length).toBeLessThan(film.picked.length / 2);
    expect(widths(measured(film, { ...motion, frames }))).toBeGreaterThanOrEqual(
      widths(measured(film, motion)) - 2 * within.length,
    );
    const gone = motion.frames.map((f, k) =>
      motion.first + k > keys[0]! + 3 && motion.first + k < keys[1]! ? null : f,
    );
    expect(widthWhys(measured(film, { ...motion, frames: gone }))).toMatch(
      /the background does not tell how/,
    );
  });

  it("frames past the last one with ice points", () => {
    const two = withRows((row) => (Number(row[0]) === keys[2] ? null : row));
    expect(widthWhys(measured(two, motion))).toMatch(/px beyond the nearest frame with ice points/);
  });

  it("a stretch over which it moves otherwise than the ice points of its ends", () => {
    // All points of one frame 120 px aside look like a camera that was turned there, which no ice point can tell.
    const aside = withRows((row) =>
      Number(row[0]) === keys[1] ? row.map((cell, k) => (k === 2 ? String(Number(cell) + 120) : cell)) : row,
    );
    expect(widthWhys(measured(aside, motion))).toMatch(/moves otherwise than the ice points do/);
  });

  it("frames around a knock", () => {
    const at = film.picked[2]!.off;
    const knocked: ClipMotion = { ...motion, bumps: [{ frame: at, dxPx: 5, dyPx: 0 }] };
    expect(widthWhys(measured(film, knocked))).toMatch(new RegExp(`knocked around frame ${at}`));
  });
});

describe("a rolling shutter in a fast pan, from 5 m and with eight ice points on each frame", () => {
  const kind = { ...KINDS.close!, from: [18.3, -5, 3] as const, hfovDeg: 75, handM: 0.15 };
  const scaleOf = (document: MeasureDocument | string) => {
    if (typeof document === "string") throw new Error(document);
    return document.scale as unknown as {
      readonly followed: { readonly shutter_share: { value: number; u95: number } };
      readonly warnings: readonly { readonly code: string }[];
    };
  };

  it("blames innocent ice points where nothing tells how fast the picture moves; looked at, it is learned and none is", () => {
    let [blamed, held] = [0, 0];
    const pans = [0, 2, 3, 5].map((who) => filmPan(3, kind, who, 8));
    pans.forEach((pan, k) => {
      const blind = scaleOf(measured(pan, null));
      if (blind.warnings.some((w) => w.code === "ice-points-fit-poorly")) blamed += 1;
      const { followed, warnings } = scaleOf(
        measured(pan, followedCourse(pan.course, ...pan.part, dice(3, k))),
      );
      // At half a picture from its key frame, one map of a plane is a pixel or two off in so fast a pan: that may be told.
      expect(warnings.map((w) => w.code)).not.toContain("ice-points-fit-poorly");
      const { value, u95 } = followed.shutter_share;
      if (Math.abs(value - pan.course.pan.readoutS * pan.fps) <= u95) held += 1;
      expect(u95).toBeLessThan(0.2);
    });
    expect(blamed).toBeGreaterThanOrEqual(2);
    expect(held).toBeGreaterThanOrEqual(3);
  });
});

it("a shutter that somebody states is known as well as that", () => {
  const kind = { ...KINDS.close!, fps: [50] };
  const pan = filmPan(5, kind, 1, 0);
  const looked = followedCourse(pan.course, ...pan.part, dice(5, 1));
  const shareOf = (stated?: number) => {
    const document = measured(pan, looked, stated);
    if (typeof document === "string") throw new Error(document);
    const { followed } = document.scale as unknown as {
      readonly followed: { readonly shutter_share: { readonly value: number; readonly u95: number } };
    };
    return followed.shutter_share;
  };
  const truth = pan.course.pan.readoutS * pan.fps;
  const [learned, stated] = [shareOf(), shareOf(truth)];
  expect(learned.u95).toBeGreaterThan(0.2);
  expect(Math.abs(stated.value - truth)).toBeLessThan(stated.u95);
  expect(stated.u95).toBeLessThan(0.13);
  expect(stated.u95).toBeLessThan(learned.u95 / 2);
});

describe("measure --ice-frames --motion", () => {
  it("says what the validation is told, and how far the background carries", async () => {
    const folder = await mkdtemp(join(tmpdir(), "blademark-pan-"));
    try {
      const put = async (name: string, text: string) => {
        await writeFile(join(folder, name), text);
        return join(folder, name);
      };
      const document = {
        format: "blademark.motion",
        version: 1,
        still: false,
        noise_px: motion.noisePx,
        frames: motion.frames.map((entry, k) => ({
          frame: motion.first + k,
          map: entry ? entry.slice(0, 8) : null,
          u_px: entry ? entry[8] : null,
          u_turn_px: entry ? entry[9] : null,
        })),
        bumps: [],
        warnings: [],
      };
      const body = Object.entries(film.body).map(([name, metres]) => `${name}=${metres}`);
      const args = [
        ...["--marks", await put("marks.csv", film.tables.marks)],
        ...["--events", await put("events.csv", film.tables.events)],
        ...["--ice-frames", await put("ice.csv", film.tables.ice)],
        ...["--motion", await put("motion.json", JSON.stringify(document))],
        ...["--picture", "1920x1080", "--mark-sd", "1", "--json", "--body", body.join(",")],
      ];
      let out = "";
      const status = await measure.run(args, { out: (text) => (out += text), say: () => {} });
      expect(status).toBe(0);
      const printed = JSON.parse(out);
      expect(printed).toEqual(JSON.parse(JSON.stringify(measured(film, motion))));
      let stated = "";
      await measure.run([...args, "--readout-share", "1"], {
        out: (text) => (stated += text),
        say: () => {},
      });
      expect(JSON.parse(stated)).toEqual(JSON.parse(JSON.stringify(measured(film, motion, 1))));
      await expect(
        measure.run([...args, "--readout-share", "20"], { out: () => {}, say: () => {} }),
      ).rejects.toThrow("--readout-share needs a number from 0 to 1");
      const { carried_frames, frames, gaps_px } = printed.scale.followed;
      expect(frames).toBe(motion.frames.length);
      expect(carried_frames).toBeGreaterThan(0.95 * frames);
      expect(gaps_px).toHaveLength(2);
    } finally {
      await rm(folder, { recursive: true });
    }
  });
});
