import { type Filmer, inPicture, minus, see, size, type Vec } from "./lens.ts";
import { layIcePoints, PLACEMENTS, type PlacedIcePoint, type Placement, standCamera } from "./placements.ts";
import { type Dice, dice } from "./random.ts";
import { FEET, type Foot, type Push, type SimSkater, simSkater } from "./skater.ts";

/** How a trial is filmed and marked. */
export interface Conditions {
  /** SD of every mark, px. */
  readonly noisePx: number;
  /** Share of event frames that are one frame off. */
  readonly slips: number;
  /** Blades flat on the ice while they carry, for checks without any noise. */
  readonly flat: boolean;
}

export const ORDINARY: Conditions = { noisePx: 1, slips: 0.2, flat: false };
export const PERFECT: Conditions = { noisePx: 0, slips: 0, flat: true };

/** A push as it was marked: which frames the eye picked. */
export interface Picked {
  readonly push: Push;
  readonly off: number;
  readonly on: number;
  readonly nearest: number;
}

/** One filmed trial: what the user has (tables, body lengths, lens) and what really happened. */
export interface FilmedTrial {
  readonly tables: { readonly marks: string; readonly events: string; readonly ice: string };
  readonly body: Readonly<Record<string, number>>;
  readonly lens: { readonly k1: number; readonly k2: number } | null;
  readonly picture: { readonly width: number; readonly height: number };
  readonly fps: number;
  readonly camera: Filmer;
  readonly icePoints: readonly PlacedIcePoint[];
  /** Standard uncertainty of the taped places, metres; 0 = exact. */
  readonly tapeError: number;
  readonly skater: SimSkater;
  /** Marked pushes in order of blade-off, and the index of the first of them in `skater.pushes`. */
  readonly picked: readonly Picked[];
  readonly firstPush: number;
  /** Frames picked for the ends of the arms' swings. */
  readonly arms: readonly {
    readonly side: Foot;
    readonly end: "front" | "back";
    readonly frame: number;
    readonly time: number;
  }[];
}

const FRAME_RATES = [30, 60, 120];

/** Skater number `who` filmed from a placement; null where the camera cannot see enough of the lane. */
export function filmTrial(
  seed: number,
  placement: Placement,
  who: number,
  conditions: Conditions,
): FilmedTrial | null {
  const d = dice(seed, PLACEMENTS.indexOf(placement), who);
  const fps = FRAME_RATES[who % 3]!;
  const lens = who % 5 === 4 ? { k1: d.even(-0.15, 0.02), k2: d.even(-0.01, 0.02) } : null;
  const tapeError = d.chance(0.25) && conditions.noisePx > 0 ? 0.01 : 0;
  const camera = standCamera(d, placement, lens ?? { k1: 0, k2: 0 });
  const laid = layIcePoints(d, camera, tapeError);
  if (!laid) return null;
  const [from, to] = laid.zone;
  const skater = simSkater(d, {
    path: who % 2 === 0 ? "narrow" : "wide",
    arms: (["fore-aft", "diagonal", "side-to-side"] as const)[Math.floor(who / 2) % 3]!,
    flat: conditions.flat,
    middle: (from + to) / 2,
    pushes: 14,
  });
  const slip = () => (d.chance(conditions.slips) ? (d.chance(0.5) ? 1 : -1) : 0);
  const inZone = (p: Push, k: number) => {
    const x = (skater.heel(p.foot, p.off)[0] + skater.toe(p.foot, p.off)[0]) / 2;
    // The outermost pushes exist only so that the marked ones have true neighbours.
    return x > from - 0.3 && x < to + 0.3 && k >= 2 && k < skater.pushes.length - 3;
  };
  const firstPush = skater.pushes.findIndex(inZone);
  const picked = skater.pushes.filter(inZone).map((push): Picked => {
    const on = Math.ceil(push.on * fps) + slip();
    return {
      push,
      off: Math.floor(push.off * fps) + slip(),
      on,
      nearest: Math.min(Math.round(push.nearest * fps) + slip(), on),
    };
  });
  const marks = new MarkSheet(d, camera, fps, conditions.noisePx);
  const bothBladesAtOn = d.chance(0.5);
  for (const { push, off, on, nearest } of picked) {
    const other: Foot = push.foot === "left" ? "right" : "left";
    marks.blade(skater, push.foot, off);
    marks.blade(skater, other, off);
    marks.hips(skater, off);
    marks.blade(skater, push.foot, nearest);
    marks.hips(skater, nearest);
    marks.blade(skater, push.foot, on);
    if (bothBladesAtOn) marks.blade(skater, other, on);
    marks.hips(skater, on);
  }
  const [begin, end] = [picked[0]?.push.off ?? 0, picked[picked.length - 1]?.push.on ?? 0];
  const arms = skater.swings
    .filter((s) => s.time >= begin - 0.05 && s.time <= end)
    .map((s) => ({ ...s, frame: Math.round(s.time * fps) + slip() }))
    .filter(({ side, frame }) => marks.arm(skater, side, frame));
  return {
    tables: {
      marks: marks.table(),
      events: eventsTable(picked, arms, skater, camera, fps),
      ice: iceTable(d, camera, laid.points, conditions.noisePx, tapeError),
    },
    body: bodyLengths(d, skater),
    ...{ lens, picture: { width: camera.width, height: camera.height }, fps, camera },
    ...{ icePoints: laid.points, tapeError, skater, picked, firstPush, arms },
  };
}

/** Limbs taped to ± 1 cm; every other skater's crouched hip height is known to ± 3 cm. */
function bodyLengths(d: Dice, skater: SimSkater): Record<string, number> {
  const limbs = {
    upper_arm: skater.upperArm + d.normal(0.01),
    forearm: skater.forearm + d.normal(0.01),
  };
  return d.chance(0.5) ? limbs : { ...limbs, hip_height: skater.hipHeight + d.normal(0.025) };
}

class MarkSheet {
  private readonly rows = new Map<string, string>();
  private readonly d: Dice;
  private readonly camera: Filmer;
  private readonly fps: number;
  private readonly noisePx: number;

  constructor(d: Dice, camera: Filmer, fps: number, noisePx: number) {
    this.d = d;
    this.camera = camera;
    this.fps = fps;
    this.noisePx = noisePx;
  }

  blade(skater: SimSkater, foot: Foot, frame: number): void {
    this.put(frame, "blade_heel", foot, skater.heel(foot, frame / this.fps));
    this.put(frame, "blade_toe", foot, skater.toe(foot, frame / this.fps));
  }

  hips(skater: SimSkater, frame: number): void {
    for (const foot of FEET) this.put(frame, "hip", foot, skater.hip(foot, frame / this.fps));
  }

  /** Marks shoulder, elbow and wrist where all three are in the picture. */
  arm(skater: SimSkater, side: Foot, frame: number): boolean {
    const time = frame / this.fps;
    const joints = [
      ["shoulder", skater.shoulder(side, time)],
      ["elbow", skater.elbow(side, time)],
      ["wrist", skater.wrist(side, time)],
    ] as const;
    if (!joints.every(([, at]) => inPicture(this.camera, see(this.camera, at), 5))) return false;
    for (const [name, at] of joints) this.put(frame, name, side, at);
    return true;
  }

  table(): string {
    return `frame,time_s,point,side,x_px,y_px\n${[...this.rows.values()].join("\n")}\n`;
  }

  private put(frame: number, point: string, side: Foot, at: Vec): void {
    const key = `${frame} ${point} ${side}`;
    if (this.rows.has(key)) return;
    const seen = see(this.camera, at);
    if (!seen) return;
    const [x, y] = [seen[0] + this.d.normal(this.noisePx), seen[1] + this.d.normal(this.noisePx)];
    if (!inPicture(this.camera, [x, y])) return;
    this.rows.set(
      key,
      `${frame},${(frame / this.fps).toFixed(6)},${point},${side},${x.toFixed(5)},${y.toFixed(5)}`,
    );
  }
}

function eventsTable(
  picked: readonly Picked[],
  arms: FilmedTrial["arms"],
  skater: SimSkater,
  camera: Filmer,
  fps: number,
): string {
  const rows = picked.flatMap(({ push, off, on, nearest }) => [
    `blade_off,${push.foot},${off},,`,
    `recovery_min,${push.foot},${nearest},,`,
    `blade_on,${push.foot},${on},,`,
  ]);
  const toward = (from: Vec, joint: Vec) => (gap(joint, camera.at) < gap(from, camera.at) ? "yes" : "no");
  for (const { side, end, frame } of arms) {
    const t = frame / fps;
    const [s, e, w] = [skater.shoulder(side, t), skater.elbow(side, t), skater.wrist(side, t)];
    rows.push(`arm_${end},${side},${frame},${toward(s, e)},${toward(e, w)}`);
  }
  return `event,side,frame,elbow_toward_camera,wrist_toward_camera\n${rows.join("\n")}\n`;
}

function iceTable(
  d: Dice,
  camera: Filmer,
  points: readonly PlacedIcePoint[],
  noisePx: number,
  tapeError: number,
): string {
  const rows = points.map(({ label, at, taped }) => {
    const seen = see(camera, at)!;
    const [x, y] = [seen[0] + d.normal(noisePx), seen[1] + d.normal(noisePx)];
    return `${label},${x.toFixed(5)},${y.toFixed(5)},${taped[0]},${taped[1]},${tapeError === 0 ? "" : tapeError}`;
  });
  return `label,x_px,y_px,ice_x_m,ice_y_m,u_m\n${rows.join("\n")}\n`;
}

const gap = (a: Vec, b: Vec): number => size(minus(a, b));
