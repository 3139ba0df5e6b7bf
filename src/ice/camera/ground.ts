import type { Lens } from "../../study/types.ts";
import type { Sources, Uncertain } from "../../uncertainty/uncertain.ts";
import type { FlatPoint } from "../points/hull.ts";
import type { PicturePoint, Scale } from "../types.ts";
import type { Camera } from "./camera.ts";

/** A picture point with its uncertainty, px. */
export interface UncertainMark {
  readonly u: Uncertain;
  readonly v: Uncertain;
}

/** A point of the ice with its uncertainty, metres in the ice frame. */
export interface UncertainPlace {
  readonly x: Uncertain;
  readonly y: Uncertain;
}

/**
 * A scale as the measuring core uses it: every answer carries its uncertainty, and all of them share the
 * scale's own sources, so that what the scale gets wrong it gets wrong everywhere alike.
 */
export interface Ground {
  /** Where on the ice a mark of this frame is; null above the horizon. Only for points that are on the ice. */
  place(mark: UncertainMark, frame: number): UncertainPlace | null;
  /** The camera in a frame; null where the reference cannot tell it, and `noCamera` says why. */
  cameraIn(frame: number): UncertainCamera | null;
  readonly noCamera: string;
  /** From where a frame was seen, as far as it tells which way a blade a little off the ice is laid out; null where it does not. */
  eyeIn(frame: number): Pick<Camera, "x" | "y" | "z"> | null;
  /** Why points off the ice can't be placed although there is a camera; null when they can. */
  readonly offIceWhy: string | null;
  /** Why nothing in this frame can be placed: the camera moves and the frame has no reference; null when it can. */
  unplacedWhy(frame: number): string | null;
  readonly hull: readonly FlatPoint[];
  /** Why a mark can't be placed, said of it: it lies where the lens coefficients fold the picture; null when it can. */
  beyondLensWhy(uPx: number, vPx: number, frame: number): string | null;
  /**
   * Where the camera turns while its rows are read one after the other: how far a mark is seen aside for a shutter that takes all of
   * the time between frames, px, and what is open of the share that it takes. Absent, null = nowhere.
   */
  shutter?(uPx: number, vPx: number, frame: number): Rolled | null;
  /** Why distances across the travel can't be measured at all, or not between frames, or along it; null when they can. */
  readonly acrossWhy: string | null;
  readonly betweenFramesWhy: string | null;
  readonly alongWhy: string | null;
  /** The most the travel may be turned from x for the scale to hold, degrees; null = any. */
  readonly mostHeadingDeg: number | null;
}

export interface Rolled {
  readonly by: readonly [number, number];
  readonly share: Uncertain;
}

export interface UncertainCamera {
  /** The most likely one, and its lens. */
  readonly camera: Camera;
  readonly lens: Lens;
  /**
   * What the reference leaves open about them, as deviations from the most likely: their values are 0. In order: log
   * focal length, turns about the camera's axes (rad), place (m), principal point (px), and as many of k1, k2 as were
   * found.
   */
  readonly deviations: readonly Uncertain[];
  /** The camera for values of the deviations, and how it takes lens distortion out of a picture point. */
  at(deviations: readonly number[]): SeeingCamera;
}

export interface SeeingCamera {
  readonly camera: Camera;
  straighten(u: number, v: number): readonly [u: number, v: number];
}

/** What `Ground.beyondLensWhy` says. */
export const BEYOND_LENS =
  "is nearer the picture's edge than the lens coefficients hold. Mark ice points farther out, or give the lens's own coefficients.";

/** What `fitScale` returns: the scale for showing, and the way to measure with it. */
export interface FittedScale extends Scale {
  /** Where a point would be seen if all rows of a frame were read at once; absent = where it is. */
  upright?(p: PicturePoint, frame: number): PicturePoint;
  ground(sources: Sources): Ground;
}
