/** What a coach writes down of an evening: the skaters' lengths by tape, the lane, the photocells' times, the clips' files. */
import { createHash } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { ClipLink, Lane, Skater } from "../../src/study/types.ts";
import type { ClipSpec, Person } from "./people.ts";
import { seeded } from "./random.ts";
import type { Run } from "./run.ts";
import { rounded } from "./vec.ts";
import { GATES, LANE } from "./world.ts";

export const MEASURED_LANE: Lane = {
  distance: LANE.length,
  unit: "m",
  gates: [...GATES],
  gateBeam: "dual",
  start: "standing",
  placement: { rink: "iihf-60x30", startX: LANE.startRinkX, startY: 0, headingDeg: 0 },
};

/** @param hipHeight true mean height of mid-hip while sprinting, metres */
export function skater(person: Person, hipHeight: number): Skater {
  const tape = seeded(`tape measure on ${person.id}`);
  return {
    id: person.id,
    name: person.name,
    code: person.code,
    body: {
      hipHeight: rounded(hipHeight + 0.012 * tape.normal(), 2),
      upperArm: rounded(0.186 * person.stature + 0.005 * tape.normal(), 3),
      forearm: rounded(0.146 * person.stature + 0.004 * tape.normal(), 3),
      stature: rounded(person.stature + 0.005 * tape.normal(), 2),
    },
  };
}

/** Seconds to a hundredth, as the photocells show them. */
export function photocellTime(run: Run): number {
  const cell = 0.004 * seeded(`photocell ${run.spec.name}`).normal();
  return rounded(run.gateTimes[1]! - run.gateTimes[0]! + cell, 2);
}

/** The clip's file as a study links it; nothing where there is no file. */
export function clipLink(clip: Pick<ClipSpec, "name">, home: string): ClipLink[] {
  const file = join(home, "clips", `${clip.name}.mp4`);
  if (!existsSync(file)) return [];
  const bytes = readFileSync(file);
  return [
    {
      id: clip.name,
      name: `${clip.name}.mp4`,
      path: `../clips/${clip.name}.mp4`,
      bytes: bytes.length,
      sha256: createHash("sha256").update(bytes).digest("hex"),
    },
  ];
}
