import type { Warning } from "../../reading.ts";
import type { PointFit } from "../points/pointFit.ts";

/** Chance exceeds it once in a hundred times: chi-square, 1 degree of freedom (NIST/SEMATECH e-Handbook, 1.3.6.7.4). */
const CHANCE = 6.635;
/**
 * Ice points that agree with each other, and yet no camera would see them so. A plane has eight numbers and a camera
 * over it seven: what the camera costs more is a chi-square with one degree of freedom. It shows what the points
 * themselves cannot: one of four points off, feet along one axis and metres along the other, a picture cut to one side.
 * The camera's chi-square holds what a principal point costs that is unusually far from the picture's middle.
 */
export function cameraMisfit(fit: PointFit): Warning | null {
  if (isSeenByCamera(fit)) return null;
  return {
    code: "no-camera-sees-this",
    text: `The ice points agree with each other, but no camera would see them so. Check that every place is right and in metres along both axes, and that the picture is the whole one, neither cut to one side nor squeezed.${fit.pairs.length < 6 ? " With so few points nothing else would show a bad one." : ""} Until then hips and arms are not measured, and widths may be wrong.`,
  };
}

/** Whether a camera could see the points so; so it is taken where none can be told. */
export function isSeenByCamera(fit: PointFit): boolean {
  const { plane, camera, pairs } = fit;
  if (!camera) return true;
  // Errors larger than stated show in the points' own misfit already.
  const unit = Math.max(1, plane.chiSquare / Math.max(1, 2 * pairs.length - 8 - plane.lens.find));
  return camera.chiSquare <= plane.chiSquare + CHANCE * unit;
}

/** Why points off the ice are not placed then. */
export const NO_CAMERA_FITS =
  "No camera would see the ice points as they are marked, so how high something is above the ice can't be told. Check their places, and that the picture is neither cut nor squeezed.";
