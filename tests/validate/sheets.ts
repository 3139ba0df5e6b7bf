import { type Filmer, inPicture, minus, see, size, type Vec } from "./lens.ts";
import type { PlacedIcePoint } from "./placements.ts";
import type { Dice } from "./random.ts";
import { FEET, type Foot, type SimSkater } from "./skater.ts";

/** Frame number of the clip to the camera as it was then. */
export type Filming = (frame: number) => Filmer;

/** `marks.csv` as somebody fills it in: what is out of the picture, or already marked, is left out. */
export class MarkSheet {
  readonly frames = new Set<number>();
  private readonly rows = new Map<string, string>();
  private readonly d: Dice;
  private readonly filming: Filming;
  private readonly fps: number;
  private readonly noise: { readonly noisePx: number; readonly hipPx: number; readonly outliers?: number };

  constructor(d: Dice, filming: Filming, fps: number, noise: MarkSheet["noise"]) {
    this.d = d;
    this.filming = filming;
    this.fps = fps;
    this.noise = noise;
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
    const camera = this.filming(frame);
    if (!joints.every(([, at]) => inPicture(camera, see(camera, at), 5))) return false;
    for (const [name, at] of joints) this.put(frame, name, side, at);
    return true;
  }

  table(): string {
    return `frame,time_s,point,side,x_px,y_px\n${[...this.rows.values()].join("\n")}\n`;
  }

  private put(frame: number, point: string, side: Foot, at: Vec): void {
    const key = `${frame} ${point} ${side}`;
    if (this.rows.has(key)) return;
    const camera = this.filming(frame);
    const seen = see(camera, at);
    if (!seen) return;
    const { noisePx, hipPx, outliers = 0 } = this.noise;
    const sd = point === "hip" ? hipPx : noisePx;
    const wild = outliers > 0 && this.d.chance(outliers);
    const off = () => this.d.normal(sd) + (wild ? this.d.even(-8, 8) : 0);
    const [x, y] = [seen[0] + off(), seen[1] + off()];
    if (!inPicture(camera, [x, y])) return;
    this.frames.add(frame);
    const time = (frame / this.fps).toFixed(6);
    this.rows.set(key, `${frame},${time},${point},${side},${x.toFixed(5)},${y.toFixed(5)}`);
  }
}

/** `events.csv`: contacts and nearest frames, and the arms' extremes with what is toward the camera. */
export function eventsTable(
  contacts: readonly {
    readonly foot: Foot;
    readonly off: number;
    readonly on: number;
    readonly nearest: number;
  }[],
  arms: readonly { readonly side: Foot; readonly end: string; readonly frame: number }[],
  skater: SimSkater,
  filming: Filming,
  fps: number,
): string {
  const rows = contacts.flatMap(({ foot, off, on, nearest }) => [
    `blade_off,${foot},${off},,`,
    `recovery_min,${foot},${nearest},,`,
    `blade_on,${foot},${on},,`,
  ]);
  for (const { side, end, frame } of arms) {
    const t = frame / fps;
    const { at } = filming(frame);
    const toward = (from: Vec, joint: Vec) => (size(minus(joint, at)) < size(minus(from, at)) ? "yes" : "no");
    const [s, e, w] = [skater.shoulder(side, t), skater.elbow(side, t), skater.wrist(side, t)];
    rows.push(`arm_${end},${side},${frame},${toward(s, e)},${toward(e, w)}`);
  }
  return `event,side,frame,elbow_toward_camera,wrist_toward_camera\n${rows.join("\n")}\n`;
}

/** `ice_points.csv` of one camera that stands still. */
export function iceTable(
  d: Dice,
  camera: Filmer,
  points: readonly PlacedIcePoint[],
  noisePx: number,
  tapeSaid: number,
): string {
  const rows = points.map((p) => iceRow(d, camera, p, noisePx, tapeSaid));
  return `label,x_px,y_px,ice_x_m,ice_y_m,u_m\n${rows.join("\n")}\n`;
}

/** Which ice points are marked in each frame: eight in the first, middle and last, `usual` in the others, as far as they are in the picture. */
export function chooseIcePoints(
  filming: Filming,
  points: readonly PlacedIcePoint[],
  frames: readonly number[],
  usual: number,
): ReadonlyMap<number, readonly PlacedIcePoint[]> {
  const last = frames.length - 1;
  const key = new Set([frames[0], frames[last >> 1], frames[last]]);
  const choose = (frame: number): PlacedIcePoint[] => {
    const camera = filming(frame);
    const seen = points.flatMap((p) => {
      const at = see(camera, p.at);
      return at && inPicture(camera, at, 10) ? [{ p, at }] : [];
    });
    const fromMiddle = ({ at }: (typeof seen)[number]) =>
      Math.hypot(at[0] - camera.width / 2, at[1] - camera.height / 2);
    seen.sort((a, b) => fromMiddle(a) - fromMiddle(b));
    const edge = (left: boolean) => seen.filter(({ p }) => p.taped[1] > 0 === left);
    // Along both edges of the lane: one edge alone is a line, which gives no scale.
    const nearest = [true, false].flatMap((left) => edge(left).slice(0, key.has(frame) ? 6 : 4));
    // Whoever marks few takes points that are well apart.
    const chosen = nearest.slice(0, 1);
    const apart = (s: (typeof seen)[number]) =>
      Math.min(...chosen.map((c) => Math.hypot(c.at[0] - s.at[0], c.at[1] - s.at[1])));
    while (chosen.length < Math.min(nearest.length, key.has(frame) ? 8 : usual)) {
      chosen.push(nearest.reduce((best, s) => (apart(s) > apart(best) ? s : best)));
    }
    return chosen.map(({ p }) => p);
  };
  return new Map(frames.map((frame) => [frame, choose(frame)]));
}

/** `ice_points_frames.csv` of a camera that moves. */
export function iceFramesTable(
  d: Dice,
  filming: Filming,
  chosen: ReadonlyMap<number, readonly PlacedIcePoint[]>,
  noisePx: number,
  tapeSaid: number,
): string {
  const rows = [...chosen].flatMap(([frame, points]) =>
    points.map((p) => `${frame},${iceRow(d, filming(frame), p, noisePx, tapeSaid)}`),
  );
  return `frame,label,x_px,y_px,ice_x_m,ice_y_m,u_m\n${rows.join("\n")}\n`;
}

function iceRow(d: Dice, camera: Filmer, point: PlacedIcePoint, noisePx: number, tapeSaid: number): string {
  const seen = see(camera, point.at)!;
  const [x, y] = [seen[0] + d.normal(noisePx), seen[1] + d.normal(noisePx)];
  const { label, taped } = point;
  return `${label},${x.toFixed(5)},${y.toFixed(5)},${taped[0]},${taped[1]},${tapeSaid === 0 ? "" : tapeSaid}`;
}
