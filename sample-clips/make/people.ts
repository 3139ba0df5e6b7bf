/** Who skates in the demo studies, and which runs and clips the one about recovery has. All invented. */
import type { Camera } from "./camera.ts";
import { seeded } from "./random.ts";
import type { ArmHabit } from "./taughtArms.ts";
import { BENCH_CAMERA, BENCH_MARKS, facingCamera, LANE_MARKS, type LaneMark } from "./world.ts";

export type RecoveryId = "close" | "open";

export interface Person {
  readonly id: string;
  readonly name: string;
  readonly code: string;
  /** Metres. */
  readonly stature: number;
  /** Mid-hip above the ice while sprinting, metres. */
  readonly hipHeight: number;
  /** Mean stride width, metres. */
  readonly width: number;
  /** Left blade-offs lie this much farther out than right ones, metres. */
  readonly asymmetry: number;
  /** Pushes per second once up to speed. */
  readonly rate: number;
  /** m/s that the speed tends to. */
  readonly topSpeed: number;
  /** Gate-to-gate seconds with close recovery, and how much quicker with open. */
  readonly closeTime: number;
  readonly openGain: number;
  readonly firstPush: 1 | -1;
  readonly jacket: string;
  readonly stripe: string;
  readonly tights: string;
  readonly helmet: string;
  readonly gloves: string;
}

export const PEOPLE: readonly Person[] = [
  {
    ...{
      id: "aino",
      name: "Aino",
      code: "S1",
      stature: 1.66,
      hipHeight: 0.757,
      width: 1.09,
      asymmetry: 0.03,
    },
    ...{ rate: 2.98, topSpeed: 8.35, closeTime: 4.62, openGain: 0.15, firstPush: -1 },
    ...{ jacket: "#b3202c", stripe: "#f1ede4", tights: "#1b2130", helmet: "#e9e9e6", gloves: "#e9c53a" },
  },
  {
    ...{ id: "bea", name: "Bea", code: "S2", stature: 1.62, hipHeight: 0.738, width: 1.03, asymmetry: -0.02 },
    ...{ rate: 3.12, topSpeed: 8.1, closeTime: 4.91, openGain: 0.21, firstPush: 1 },
    ...{ jacket: "#0f6e63", stripe: "#f3d35c", tights: "#20242b", helmet: "#15191f", gloves: "#f0efe9" },
  },
  {
    ...{
      id: "signe",
      name: "Signe",
      code: "S3",
      stature: 1.72,
      hipHeight: 0.785,
      width: 1.16,
      asymmetry: 0.01,
    },
    ...{ rate: 2.92, topSpeed: 8.55, closeTime: 4.48, openGain: 0.11, firstPush: -1 },
    ...{ jacket: "#1f4fa3", stripe: "#dfe7f2", tights: "#161a24", helmet: "#1f4fa3", gloves: "#ff8c2b" },
  },
  {
    ...{
      id: "tove",
      name: "Tove",
      code: "S4",
      stature: 1.78,
      hipHeight: 0.81,
      width: 1.24,
      asymmetry: -0.04,
    },
    ...{ rate: 2.84, topSpeed: 8.75, closeTime: 4.36, openGain: 0.05, firstPush: 1 },
    ...{ jacket: "#d9701d", stripe: "#2b2b2e", tights: "#232733", helmet: "#f0efe9", gloves: "#f0efe9" },
  },
  {
    ...{ id: "wren", name: "Wren", code: "S5", stature: 1.69, hipHeight: 0.77, width: 1.12, asymmetry: 0.02 },
    ...{ rate: 3.02, topSpeed: 8.3, closeTime: 4.74, openGain: 0.1, firstPush: -1 },
    ...{ jacket: "#6a3d8f", stripe: "#8fd0c4", tights: "#191c26", helmet: "#2a2d34", gloves: "#8fd0c4" },
  },
];

export interface RunSpec {
  readonly name: string;
  readonly person: Person;
  readonly technique: string;
  readonly repeat: number;
  /** Gate-to-gate seconds the motion is fitted to. */
  readonly gateTime: number;
  /** Mean touchdown from the track midline, metres. */
  readonly touchdown: number;
  /** How the arms were to swing, and did; absent where nobody asked. */
  readonly arms?: ArmHabit;
  /** SD, seconds, by which legs over the ice, and arms and trunk, are early or late against each contact; absent = 0. */
  readonly limbScatter?: number;
}

export function runSpec(personId: string, technique: RecoveryId, repeat: number): RunSpec {
  const person = PEOPLE.find((p) => p.id === personId);
  if (!person) throw new Error(`nobody is called ${personId}`);
  const name = `${personId}-${technique}-${repeat}`;
  const random = seeded(`time of ${name}`);
  const mean = person.closeTime - (technique === "open" ? person.openGain : 0);
  // The one trial that did not show what was asked for.
  const halfOpen = personId === "wren" && technique === "close" && repeat === 1;
  const touchdown = halfOpen ? 0.165 : technique === "close" ? 0.04 : 0.265;
  return { name, person, technique, repeat, gateTime: mean + 0.014 * random.normal(), touchdown };
}

/** What becomes of the pictures on their way into the file; absent = what the demo's clips have. */
export interface Footage {
  /** ffmpeg filters, in order. */
  readonly filters: readonly string[];
  readonly crf: number;
  /** Pictures averaged over one opening of the shutter; absent = 8. */
  readonly openings?: number;
}

/** Somebody else on the ice in the same clip: so far aside and ahead on the lane, metres. */
export interface Other {
  readonly run: RunSpec;
  readonly aside: number;
  readonly ahead: number;
}

export interface ClipSpec {
  readonly name: string;
  readonly run: RunSpec;
  readonly camera: Camera;
  readonly marks: readonly LaneMark[];
  /** Frames per real second, and what the file claims. */
  readonly fps: number;
  readonly claimedFps: number;
  /** Shutter, seconds open, centred on the frame's time. */
  readonly shutter: number;
  /** How much of a frame's time lies between the run's clock and the first frame; 0.37 where nothing is said. */
  readonly phase?: number;
  /** Only while mid-hip is between these lane places; absent = the whole run. */
  readonly only?: readonly [number, number];
  /** The trial it is linked to, where that is not the one it shows; null = to none. */
  readonly linkedTo?: string | null;
  /** A further view of the trial it shows, with marks of its own. */
  readonly furtherView?: true;
  /** Marked a second time without looking at the first marks, so that the study knows how well its marks repeat. */
  readonly markedTwice?: true;
  /** Left to be marked by whoever opens the study. */
  readonly unmarked?: true;
  readonly footage?: Footage;
  readonly other?: Other;
}

/** The trial that a clip is linked to: its own, unless someone took the wrong one or it belongs to none. */
export const trialOf = (clip: ClipSpec): string | null =>
  clip.linkedTo === undefined ? clip.run.name : clip.linkedTo;

/** What its marks are kept under: the trial it is linked to; a further view's own name; null where it is neither. */
export const marksIdOf = (clip: ClipSpec): string | null => (clip.furtherView ? clip.name : trialOf(clip));

const facing = (run: RunSpec, nudge: number): ClipSpec => ({
  name: run.name,
  run,
  camera: facingCamera(nudge),
  marks: LANE_MARKS,
  ...{ fps: 60, claimedFps: 60, shutter: 1 / 320 },
});

export const CLIPS: readonly ClipSpec[] = [
  ...PEOPLE.flatMap((p, i) => [
    {
      ...facing(runSpec(p.id, "close", 1), i - 2),
      ...(p.id === "aino" ? { markedTwice: true as const } : {}),
    },
    {
      ...facing(runSpec(p.id, "open", 1), i - 1.5),
      ...(p.id === "signe" ? { unmarked: true as const } : {}),
    },
  ]),
  {
    ...facing(runSpec("aino", "open", 2), 0),
    camera: BENCH_CAMERA,
    marks: [...LANE_MARKS.filter((m) => m.x > 11 && m.x < 25), ...BENCH_MARKS],
    only: [8.6, 27.4],
  },
  {
    ...facing(runSpec("tove", "close", 2), 0.7),
    ...{ fps: 240, claimedFps: 30, shutter: 1 / 800, only: [7.5, 24.5] },
  },
  { ...facing(runSpec("tove", "open", 2), 1.2), name: "bea-close-2", linkedTo: "bea-close-2" },
];
