import type { Warning } from "../../reading.ts";
import type { PointFit } from "../points/pointFit.ts";
import { fitCamera } from "./fitCamera.ts";

/** Chance exceeds it once in a thousand times: chi-square, 1 degree of freedom (NIST/SEMATECH e-Handbook, 1.3.6.7.4). */
const CHANCE = 10.828;
/** How far from the picture's middle the axis of an ordinary lens may lie, as a share of the picture's longer side. [judgement] */
const OFF_CENTRE = 0.02;

/**
 * Ice points that agree with each other, and yet no camera would see them so. A plane has eight numbers and a camera
 * over it seven: what the camera costs more is a chi-square with one degree of freedom. It shows what the points
 * themselves cannot: one of four points off, feet along one axis and metres along the other, a picture cut to one side.
 * Where the lens's axis lies is not known to the pixel, so the camera that fits best within reach of it counts.
 */
export function cameraMisfit(
  fit: PointFit,
  picture: { readonly width: number; readonly height: number },
): Warning | null {
  const { plane, camera, pairs } = fit;
  if (!camera) return null;
  // Errors larger than stated show in the points' own misfit already.
  const unit = Math.max(1, plane.chiSquare / Math.max(1, 2 * pairs.length - 8 - plane.lens.find));
  const most = plane.chiSquare + CHANCE * unit;
  if (camera.chiSquare <= most) return null;
  const reach = OFF_CENTRE * Math.max(picture.width, picture.height);
  const { cx, cy } = camera.camera;
  for (let k = 0; k < 8; k++) {
    const around = (k * Math.PI) / 4;
    const moved = fitCamera(pairs, plane, cx + reach * Math.cos(around), cy + reach * Math.sin(around));
    if (moved && moved.chiSquare <= most) return null;
  }
  return {
    code: "no-camera-sees-this",
    text: `The ice points agree with each other, but no camera would see them so. Check that every place is right and in metres along both axes, and that the picture is the whole one, neither cut to one side nor squeezed.${pairs.length < 6 ? " With so few points nothing else would show a bad one." : ""} Until then hips and arms are not measured, and widths may be wrong.`,
  };
}

/** Why points off the ice are not placed then. */
export const NO_CAMERA_FITS =
  "No camera would see the ice points as they are marked, so how high something is above the ice can't be told. Check their places, and that the picture is neither cut nor squeezed.";
