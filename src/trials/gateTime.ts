import type { Stride } from "../kinematics/types.ts";
import type { OrWhy } from "../reading.ts";
import type { GatePassing, Lane } from "../study/types.ts";
import { formatNumber } from "../uncertainty/format.ts";

/** The clip's own time between the first and the last gate, real seconds. */
export interface GateTime {
  readonly value: number;
  /** Standard uncertainty against a perfect photocell: frames, places, which part of the skater leads. */
  readonly sd: number;
  readonly how: "gate frames" | "blade-offs";
}

type Gates = readonly [first: number, last: number];

/** SD of clip minus photocell time from gate frames picked by eye, seconds, by real frames a second (docs/precision.md 7). */
const FRAME_SD: readonly { readonly rate: number; readonly flying: number; readonly standing: number }[] = [
  { rate: 240, flying: 0.004, standing: 0.013 },
  { rate: 120, flying: 0.005, standing: 0.013 },
  { rate: 60, flying: 0.007, standing: 0.014 },
  { rate: 30, flying: 0.013, standing: 0.019 },
];

/** The same from blade points alone (docs/precision.md 7). */
const BLADES_ONLY_SD = { flying: 0.016, standing: 0.063 } as const;

/**
 * How well the eye says where between two frames the front is at the gate, SD as a share of the step. [judgement: quarters
 * are told apart, as often as not by one]
 */
const SHARE_SD = 0.15;
/** SD of positions read between frames, seconds: no better is claimed however slow the camera (docs/precision.md 7, 3 cm). */
const BETWEEN_SD = 0.009;
/** Of a place between two frames where nothing is said: anywhere alike, so its SD as a share of the step. */
const STEP_SD = 1 / Math.sqrt(12);

/** First and last gate of a lane; null where it has not two. */
export function endGates({ gates }: Pick<Lane, "gates">): Gates | null {
  const [first, last] = [gates[0], gates.at(-1)];
  return first === undefined || last === undefined || first === last ? null : [first, last];
}

/**
 * From the frames in which the skater's front passes the first and the last gate: the first frame in which it is
 * there. It passed since the frame before: half a step ago, which cancels where both gates are picked so, or where somebody
 * said (`share`).
 *
 * @param passings clip times; of gates that stand elsewhere now none is used
 * @param frameInterval clip seconds from frame to frame
 * @param speedFactor clip seconds for each real second
 */
export function gateTimeFromFrames(
  passings: readonly GatePassing[],
  [first, last]: Gates,
  { frameInterval, speedFactor }: { readonly frameInterval: number; readonly speedFactor: number },
  start: Lane["start"],
): OrWhy<GateTime> {
  const at = (gate: number) => passings.find((p) => Math.abs(p.gate - gate) < 1e-6);
  const [from, to] = [at(first), at(last)];
  if (!from || !to) {
    const missing = [...(from ? [] : [first]), ...(to ? [] : [last])].map((gate) => `${gate} m`);
    return {
      value: null,
      why: `no frame is picked in which the skater's front passes the gate at ${missing.join(" and at ")}.`,
    };
  }
  const passed = ({ time, share = 0.5 }: GatePassing) => time - (1 - share) * frameInterval;
  const seconds = (passed(to) - passed(from)) / speedFactor;
  if (!(seconds > 0)) {
    return {
      value: null,
      why: "the frame of the last gate is not after that of the first. Pick both again.",
    };
  }
  const rate = speedFactor / frameInterval;
  // Slower than 30 frames a second the frame itself is what is uncertain; one frame of rounding for odd rates.
  const row = FRAME_SD.find((r) => rate >= r.rate - 1);
  const frames = row?.flying ?? (0.013 * 30) / rate;
  const sd = start === "flying" ? frames : (row?.standing ?? Math.hypot(0.014, frames));
  // At a standing start a step is shorter than the eye can part.
  const told = [...(start === "flying" ? [from] : []), to].filter((p) => p.share !== undefined).length;
  const saved = told * (STEP_SD ** 2 - SHARE_SD ** 2) * rate ** -2;
  const between = Math.max(Math.min(sd, BETWEEN_SD), Math.sqrt(Math.max(0, sd ** 2 - saved)));
  return { value: seconds, sd: told === 0 ? sd : between, how: "gate frames" };
}

/** What of such a time's SD is the frames' own, which another camera does not share; of two passings picked by eye, seconds. */
export function framesOwnSd({ sd }: GateTime, realInterval: number): number {
  return Math.min(sd, Math.SQRT2 * STEP_SD * realInterval);
}

/** From the strides' blade-off points, interpolated to the gates. */
export function gateTimeFromStrides(
  strides: readonly Stride[],
  gates: Gates,
  start: Lane["start"],
): OrWhy<GateTime> {
  const points = bladeOffs(strides);
  if (points.length < 2) {
    return { value: null, why: "fewer than two blade-offs have a place on the ice." };
  }
  const [first, last] = [passing(points, gates[0]), passing(points, gates[1])];
  if (!first || !last) {
    const xs = points.map((p) => p.x);
    const reach = `${formatNumber(Math.min(...xs), 1)} to ${formatNumber(Math.max(...xs), 1)} m`;
    return {
      value: null,
      why: `the marked blade-offs reach from ${reach} along the lane, the gates stand at ${gates.join(" and ")} m. Pick the frames in which the skater's front passes the gates instead.`,
    };
  }
  if (!(last.time > first.time)) {
    return { value: null, why: "the skater passes the second gate first. Check the order of the gates." };
  }
  const sd = Math.hypot(BLADES_ONLY_SD[start === "flying" ? "flying" : "standing"], first.u, last.u);
  return { value: last.time - first.time, sd, how: "blade-offs" };
}

/** Speed along the lane at either gate, m/s, where `gateTimeFromStrides` has a time. */
export function speedAtGates(strides: readonly Stride[], gates: Gates): [first: number, last: number] {
  const points = bladeOffs(strides);
  return [passing(points, gates[0])!.speed, passing(points, gates[1])!.speed];
}

function bladeOffs(strides: readonly Stride[]) {
  return strides
    .flatMap(({ off, readings: { blade_off_s } }) =>
      off && blade_off_s.value !== null ? [{ time: blade_off_s.value, x: off.x, u: off.ux }] : [],
    )
    .sort((a, b) => a.time - b.time);
}

/** When the blade-offs' way along the lane crosses a gate, and its standard uncertainty from their places. */
function passing(
  points: readonly { readonly time: number; readonly x: number; readonly u: number }[],
  gate: number,
): { readonly time: number; readonly u: number; readonly speed: number } | null {
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    if (a.x > gate || b.x < gate || a.x === b.x) continue;
    const share = (gate - a.x) / (b.x - a.x);
    const speed = (b.x - a.x) / (b.time - a.time);
    return {
      time: a.time + share * (b.time - a.time),
      u: Math.hypot((1 - share) * a.u, share * b.u) / speed,
      speed,
    };
  }
  return null;
}
