import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Remembered } from "../../../electron/suggest/lookAt.ts";
import { type PoseModels, poseModels } from "../../../electron/suggest/poseModels.ts";
import type { Filmed } from "../../../sample-clips/make/happenings.ts";
import { HARDER, OFF_BEAT } from "../../../sample-clips/make/harder.ts";
import { truthOf } from "../../../sample-clips/make/truth.ts";
import { measureJson } from "../../../src/kinematics/measureJson.ts";
import { measureTrial } from "../../../src/kinematics/measureTrial.ts";
import type { TrialMarks } from "../../../src/study/types.ts";
import type { MeasureDocument } from "../drive.ts";
import { confirmWorld, HAND, type Went } from "./confirmWorld.ts";
import { filmWorld, folderOf } from "./filmWorld.ts";

const WIDTHS = ["stride_width_m", "recovery_to_midline_m", "touchdown_to_track_midline_m"] as const;

/** Every clip there is to try, by whose place in the list a hand's errors are drawn. */
export const RENDERED = [...HARDER, ...OFF_BEAT];

export interface TriedWorld extends Went {
  readonly name: string;
  /** Of the widths measured: how many hold the truth within their u95. */
  readonly held: number;
  readonly measured: number;
}

export interface TryOptions {
  /** Where clips rendered and what the models saw of them are kept; absent = nowhere. */
  readonly keep?: string;
  /** Which hand: the same clip marked with other errors; absent = 0. */
  readonly hand?: number;
  /** How many times as large the suggestions' own errors are; absent = 1. */
  readonly errors?: number;
  /** Instead the clips whose limbs do not keep time with the contact. */
  readonly offBeat?: boolean;
}

/** Renders one clip, into a temporary folder, which is deleted again, unless it is to be kept, and goes through it. */
export async function tryWorld(
  name: string,
  models: PoseModels,
  { keep, hand = 0, errors = 1 }: TryOptions = {},
): Promise<TriedWorld> {
  const spec = RENDERED.find((w) => w.name === name);
  if (!spec) throw new Error(`no harder clip is called ${name}`);
  const folder = keep ?? mkdtempSync(join(tmpdir(), "blademark-harder-"));
  const file = join(folderOf(spec, folder), "seen.json");
  try {
    const filmed = await filmWorld(spec, folder);
    const seen: Remembered = existsSync(file)
      ? JSON.parse(readFileSync(file, "utf8"))
      : { quick: {}, close: {} };
    const went = await confirmWorld(filmed, models, RENDERED.indexOf(spec) + 1 + 100 * hand, {
      ...{ remembered: seen, errors },
    });
    writeFileSync(file, JSON.stringify(seen));
    return { name, ...went, ...heldIn(filmed.world, went.marks) };
  } finally {
    if (keep === undefined) rmSync(folder, { recursive: true });
  }
}

/** Widths by the core, against the renderer's truth at the events' own moments. */
function heldIn(world: Filmed, marks: TrialMarks): { held: number; measured: number } {
  const truth = truthOf(world) as {
    readonly strides: readonly ({ side: string; blade_off_s: number } & Record<
      (typeof WIDTHS)[number],
      { at_event: number } | null
    >)[];
  };
  const readings = measureTrial({
    ...{ marks: marks.marks, events: marks.events, iceReference: marks.iceReference ?? null },
    picture: marks.picture!,
    frameInterval: marks.picture!.frameInterval,
    ...{ speedFactor: 1, body: {}, markSdPx: HAND.blade, markSdIsKnown: true },
  });
  const { strides } = measureJson(readings) as MeasureDocument;
  const all = strides.flatMap((s) => {
    const own = truth.strides.find(
      (t) => t.side === s.side && Math.abs(t.blade_off_s - (s.blade_off_s?.value ?? -9)) < 0.05,
    );
    return WIDTHS.flatMap((q) => {
      const [is, was] = [s[q], own?.[q]];
      return is && is.value !== null && was ? [Math.abs(is.value - was.at_event) <= is.u95!] : [];
    });
  });
  return { held: all.filter(Boolean).length, measured: all.length };
}

export interface Figures {
  readonly within: number;
  readonly over3: number;
  readonly acceptedOver3: number;
  readonly drags: number;
}

export function figuresOf(t: TriedWorld): Figures {
  const share = (list: readonly number[], is: (x: number) => boolean) =>
    list.length === 0 ? 0 : list.filter(is).length / list.length;
  const far = (x: number) => x > 3;
  return {
    within:
      t.eventsOff.filter((d) => d !== null && Math.abs(d) <= 1).length / Math.max(1, t.eventsOff.length),
    over3: share(t.bladesOff, far),
    acceptedOver3: share(t.acceptedOff, far),
    drags: t.drags / Math.max(1, t.strides),
  };
}

const HEAD = [
  ...["clip", "frames", "strides", "events found, within 1", "blade ends suggested"],
  ...["of them over 3 px", "accepted, over 3 px", "drags a stride", "widths held"],
];

export function rowOf(t: TriedWorld): string {
  const f = figuresOf(t);
  const per = (x: number) => `${Math.round(100 * x)} %`;
  const found = t.eventsOff.filter((d) => d !== null).length;
  return [
    ...[t.name, t.looked, t.strides, `${found} of ${t.eventsOff.length}, ${per(f.within)}`],
    `${t.bladesOff.length} of ${t.bladesWanted}`,
    ...[t.bladesOff.length > 0 ? per(f.over3) : "", `${t.acceptedOff.length}, ${per(f.acceptedOver3)}`],
    ...[f.drags.toFixed(1), `${t.held} of ${t.measured}`],
  ].join(" | ");
}

/**
 * Tries the clips one after the other, prints a table, and returns the exit status.
 *
 * @param only numbers of clips, from 1; empty = all
 */
export async function suggestFamily(only: readonly number[], options: TryOptions): Promise<number> {
  const models = await poseModels();
  console.log(`| ${HEAD.join(" | ")} |\n|${" --- |".repeat(HEAD.length)}`);
  const tried: TriedWorld[] = [];
  for (const [k, { name }] of (options.offBeat ? OFF_BEAT : HARDER).entries()) {
    if (only.length > 0 && !only.includes(k + 1)) continue;
    const one = await tryWorld(name, models, options);
    tried.push(one);
    console.log(`| ${rowOf(one)} |`);
    for (const [why, n] of one.whys) console.error(`  ${name}: ${n} x ${why}`);
    console.error(`  drags: ${[...one.dragsFor].map(([what, n]) => `${what} ${n}`).join(", ")}`);
    console.error(
      `  events off ${one.eventsOff.join(" ")}; blades ${one.bladesOff.map((d) => d.toFixed(1)).join(" ")}; hips ${one.hipsOff.map((d) => d.toFixed(1)).join(" ")}; ${one.lost} frames without a body`,
    );
  }
  const [drags, strides] = [tried.reduce((n, t) => n + t.drags, 0), tried.reduce((n, t) => n + t.strides, 0)];
  console.error(`  ${(drags / strides).toFixed(2)} drags a stride of ${strides}`);
  const off = tried.flatMap((t) => t.eventsOff);
  const within = off.filter((d) => d !== null && Math.abs(d) <= 1).length;
  console.error(`  ${within} of ${off.length} events within a frame`);
  return 0;
}
