import { type Expected, expectedPrecision, type Sight } from "../../ice/placement/expectedPrecision.ts";
import type { ScaleSummary } from "../../ice/types.ts";
import type { StrideQuantity } from "../../quantities/catalogue.ts";
import { WIDEST_U95 } from "../../quantities/limits.ts";
import type { Warning } from "../../reading.ts";
import { DOUBTED } from "../quantities/readingOf.ts";
import type { Stride } from "../types.ts";

/** As high as a stand or a gantry usually lets a camera go, metres. [common practice, no source] */
const HIGH = 6;
/** The nearest a camera on the lane's axis is of use: nearer, a skater does not fit into the picture, metres. */
const NEAREST = 8;

/** A promise leaves room: the closed form is good to about a fifth. */
const SURE = 0.8;

const PREDICTED: readonly {
  readonly quantity: StrideQuantity;
  readonly name: string;
  readonly of: (expected: Expected) => number;
}[] = [
  { quantity: "stride_width_m", name: "Stride width", of: (e) => e.strideWidth },
  { quantity: "touchdown_to_track_midline_m", name: "Touchdown to track midline", of: (e) => e.touchdown },
  { quantity: "recovery_to_midline_m", name: "Recovery to midline", of: (e) => e.recovery },
];

/**
 * Where a view leaves most strides too doubtful to be shown: what the same camera would give from higher up, and from
 * the lane's axis. In closed form, before anything is filmed from there.
 *
 * @param fps frames a second of real time
 * @param markSdPx of one mark per coordinate
 */
export function betterPlacement(
  scale: ScaleSummary | null,
  strides: readonly Stride[],
  fps: number,
  markSdPx: number,
): Warning[] {
  const camera = scale?.camera;
  const places = strides.flatMap(({ off }) => (off ? [off] : []));
  const refused = PREDICTED.find(({ quantity }) => {
    const doubted = strides.filter(({ readings }) => isDoubted(readings[quantity]));
    return doubted.length > strides.length / 2;
  });
  const middle = places[places.length >> 1];
  if (!camera || !refused || !middle) return [];
  const [dx, dy] = [middle.x - camera.x, middle.y - camera.y];
  const distance = Math.hypot(dx, dy);
  const sight: Sight = {
    distance,
    height: camera.height,
    angle: Math.atan2(Math.abs(dy), Math.abs(dx)),
    focalPx: camera.focalPx,
    fps,
    markSdPx,
  };
  const axis = Math.max(NEAREST, distance);
  const better = [
    ...(camera.height < HIGH - 0.5
      ? [{ where: `from the same place but ${HIGH} m up`, sight: { ...sight, height: HIGH } }]
      : []),
    {
      where: `on the lane's axis, ${axis.toFixed(0)} m before or behind the strides and as high as now`,
      sight: { ...sight, distance: axis, angle: 0 },
    },
  ].flatMap(({ where, sight: there }) => {
    const u95 = refused.of(expectedPrecision(there));
    return u95 <= SURE * WIDEST_U95
      ? [`${where} it could be measured to about ± ${(100 * u95).toFixed(0)} cm`]
      : [];
  });
  if (better.length === 0) return [];
  const now = `${distance.toFixed(0)} m away, ${camera.height.toFixed(1)} m up`;
  return [
    {
      code: "better-placement",
      text: `${refused.name} can't be told stride by stride from this camera (${now}); ${better.join("; ")}. Plan shows it along the lane.`,
    },
  ];
}

function isDoubted(reading: Stride["readings"][StrideQuantity]): boolean {
  return reading.value === null && reading.why.startsWith(DOUBTED);
}
