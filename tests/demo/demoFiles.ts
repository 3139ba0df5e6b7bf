/** Reads the demo studies and the truth beside their clips. Field meanings: sample-clips/README.md. */
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { EVENINGS } from "../../sample-clips/make/evenings.ts";
import type { StrideQuantity } from "../../src/quantities/catalogue.ts";
import type { PointName, Side, Study, TrialMarks, WholeStudy } from "../../src/study/types.ts";

export const SAMPLE_CLIPS = fileURLToPath(new URL("../../sample-clips/", import.meta.url));

export interface TruthPoint {
  readonly point: PointName;
  readonly side: Side;
  readonly x_px: number;
  readonly y_px: number;
  readonly m: readonly [number, number, number];
  readonly on_ice?: boolean;
}

export interface TruthEvent {
  readonly event: string;
  readonly side: Side;
  readonly stride: number;
  readonly exact_real_s: number;
  readonly exact_clip_s: number;
  readonly frame: number;
  readonly frame_clip_s: number;
  /** Arm rows only. */
  readonly elbow_toward_camera?: boolean;
  readonly wrist_toward_camera?: boolean;
  readonly points: readonly TruthPoint[];
}

export type TruthStride = Readonly<
  Record<StrideQuantity, number | { at_event: number; at_frame: number } | null>
> & {
  readonly stride: number;
  readonly side: Side;
  readonly both_ends_on_ice: boolean;
  readonly arm_swing: Readonly<Record<Side, TruthSwing | null>>;
};

export interface TruthSwing {
  readonly at_event: { readonly direction_deg: number; readonly angle_deg: number };
  readonly at_frame: { readonly direction_deg: number; readonly angle_deg: number };
}

export interface Truth {
  readonly clip: string;
  readonly shows: { readonly skater: string; readonly technique: string; readonly repeat: number };
  readonly frames: number;
  readonly fps_true: number;
  readonly fps_claimed: number;
  readonly speed_factor: number;
  readonly camera: {
    readonly place_m: readonly [number, number, number];
    readonly aim_m: readonly [number, number, number];
    readonly focal_px: number;
    readonly picture: readonly [number, number];
  };
  readonly ice_points: readonly { label: string; x_px: number; y_px: number; x_m: number; y_m: number }[];
  readonly gates: readonly {
    x_m: number;
    real_s: number | null;
    clip_s: number | null;
    frame: number | null;
  }[];
  readonly gate_to_gate_s: number;
  readonly strides: readonly TruthStride[];
  readonly events: readonly TruthEvent[];
}

/** A file of sample-clips/. */
export const json = (path: string): unknown => JSON.parse(readFileSync(`${SAMPLE_CLIPS}${path}`, "utf8"));

export type StudyFolder = "demo-study" | "arms-study";

export function demoStudy(folder: StudyFolder = "demo-study"): WholeStudy {
  const study = json(`${folder}/study.json`) as Study;
  const files = readdirSync(`${SAMPLE_CLIPS}${folder}/marks`);
  const marks = files.map((f) => json(`${folder}/marks/${f}`) as TrialMarks);
  return { study, marks: Object.fromEntries(marks.map((m) => [m.trial, m])) };
}

/** Beside each clip of an evening, linked or not. */
export const truths = (folder: StudyFolder = "demo-study"): Truth[] =>
  EVENINGS.find((e) => e.folder === folder)!.clips.map((c) => truthOfClip(c.name));

export const truthOfClip = (clip: string): Truth => json(`truth/${clip}.json`) as Truth;

export function truthOfTrial(whole: WholeStudy, trial: string): Truth {
  const clip = whole.marks[trial]?.picture?.clip;
  if (!clip) throw new Error(`${trial} is not marked`);
  return truthOfClip(clip);
}

/** The same marks and ice points put exactly where the world's points are seen; marks on a frame that the eye picked
 * beside the event's own stay as they are, for the truth tells of event frames only. */
export function withoutNoise(marks: TrialMarks, truth: Truth): TrialMarks {
  const seen = (frame: number, point: PointName, side: Side) => {
    const found = truth.events
      .filter((e) => e.frame === frame)
      .flatMap((e) => e.points)
      .find((p) => p.point === point && p.side === side);
    return found && { xPx: found.x_px, yPx: found.y_px };
  };
  if (marks.iceReference?.kind !== "ice-points") throw new Error("the demo's ice references are ice points");
  const points = marks.iceReference.points.map((p) => {
    const exact = truth.ice_points.find((t) => t.label === p.label)!;
    return { ...p, xPx: exact.x_px, yPx: exact.y_px };
  });
  return {
    ...marks,
    iceReference: { ...marks.iceReference, points },
    marks: marks.marks.map((m) => ({ ...m, ...seen(m.frame, m.point, m.side) })),
  };
}
