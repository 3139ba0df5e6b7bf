import type { PicturePoint } from "../../src/ice/types.ts";
import { centreOn, fitView, type Size, type View } from "./view.ts";

/** Where the skater is on a frame, as far as marks tell. */
export interface SkaterPlace {
  /** Seen at the height of what is aimed for, between both blades. */
  readonly at: PicturePoint;
  /** Picture px a metre there, across the way of looking. */
  readonly pxPerM: number;
  /** How far to its side a blade may lie, metres. */
  readonly outer: number;
  /** How far from there the body may be, metres, each way: beyond the marked frames nobody knows how it went on. */
  readonly unsure: number;
}

/** What is to be looked at: both blades, the hips over them, or the arms. */
export type Aimed = "blades" | "hips" | "arms";

/** Heights over the ice in the middle of the view, metres. Common practice, no source: of a crouched skater, with room. */
export const AIMED_HEIGHT: Readonly<Record<Aimed, number>> = { blades: 0.05, hips: 0.6, arms: 0.85 };

/** What the view holds on either side beyond the blades, metres: room for not knowing exactly where they will be. */
const BESIDE = 0.15;

/** What it holds in height, and of arms in width, metres. */
const HEIGHT: Readonly<Record<Aimed, number>> = { blades: 0.65, hips: 0.65, arms: 1.3 };
const ARMS_WIDTH = 2;

/** Larger than this a picture shows only its pixels; stage px a picture px. */
const MOST = 6;

/** The view that holds the skater in the middle, as large on the stage at any distance from the camera. */
export function followView(place: SkaterPlace, aimed: Aimed, picture: Size, stage: Size): View {
  const { at, pxPerM, outer, unsure } = place;
  const width = Math.max(2 * (outer + BESIDE), aimed === "arms" ? ARMS_WIDTH : 0) + 2 * unsure;
  const height = HEIGHT[aimed] + 2 * unsure;
  const fits = Math.min(stage.width / (width * pxPerM), stage.height / (height * pxPerM));
  const scale = Math.max(fitView(picture, stage).scale, Math.min(MOST, fits));
  return centreOn(at, scale, picture, stage);
}
