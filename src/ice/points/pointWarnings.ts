import type { Warning } from "../../reading.ts";
import type { IcePoint } from "../../study/types.ts";
import { derive, fromParts, K95, type Uncertain } from "../../uncertainty/uncertain.ts";
import { focalLengths } from "../camera/camera.ts";
import type { IceResidual } from "../types.ts";
import { isOutside } from "./checkIcePoints.ts";
import type { PointFit } from "./pointFit.ts";

/** How far off a point is, with unit. */
export function pxOff(r: IceResidual): string {
  return `${Math.hypot(r.dxPx, r.dyPx).toFixed(1)} px`;
}

/** A point with the frame it is marked on, where that matters. */
export function nameOf(r: IceResidual): string {
  return r.frame === undefined ? r.label : `${r.label} on frame ${r.frame}`;
}

export function fewPoints(count: number): Warning[] {
  if (count > 5) return [];
  return [
    {
      code: "few-ice-points",
      text: `${count === 4 ? "Four" : "Five"} ice points cannot show a bad one, nor a lens that bends lines, so every ± reckons with places taped 12 cm wrong. Mark six or more.`,
    },
  ];
}

/** A mark beyond the edge can be right, where painted lines were extended; that has to be meant. */
export function outsidePicture(
  points: readonly IcePoint[],
  picture: { readonly width: number; readonly height: number },
): Warning[] {
  const names = points.filter((p) => isOutside(p, picture)).map((p) => p.label);
  if (names.length === 0) return [];
  return [
    {
      code: "ice-point-outside-picture",
      text: `${names.length === 1 ? `Ice point ${names[0]} lies` : `Ice points ${names.join(", ")} lie`} outside the picture. That is right only where a line was extended beyond the edge; otherwise check the mark, and the picture's size.`,
    },
  ];
}

/**
 * @param misfit in marking SD
 * @param blamed which point is to blame, where that is clear
 */
export function poorFit(misfit: number, worst: IceResidual, blamed?: string): Warning {
  const which = blamed ?? `${nameOf(worst)} is the worst (${pxOff(worst)}).`;
  return {
    code: "ice-points-fit-poorly",
    text: `The ice points disagree by ${misfit.toFixed(1)} times what marking alone explains. ${which} Every ± is wider for it; check that point.`,
  };
}

/** The two closed formulas against each other, each with its own uncertainty from the fit. */
export function focalDisagreement(fit: PointFit, widen: number): Warning[] {
  const { plane } = fit;
  const { frame } = plane.lens;
  const own = Array.from({ length: 2 * fit.pairs.length }, (_, k) => k);
  const elements = plane.elements.map((value, row) =>
    fromParts(
      value,
      own,
      plane.gain[row]!.map((part) => part * widen),
    ),
  );
  const { perpendicular, equalUnits } = focalLengths(plane.homography, frame.cx, frame.cy);
  if (perpendicular === null || equalUnits === null) return [];
  const toPx = plane.picture.scale;
  const both = (...h: number[]) => {
    // In normalised coordinates the picture is shifted and shrunk, and both ice axes alike: only the centre moves.
    const f = focalLengths(
      [...h, 1],
      (frame.cx - plane.picture.x) * toPx,
      (frame.cy - plane.picture.y) * toPx,
    );
    return [(f.perpendicular ?? 0) / toPx, (f.equalUnits ?? 0) / toPx];
  };
  const [a, b] = derive(both, elements) as [Uncertain, Uncertain];
  // A formula near its degenerate view (camera square to an ice axis) has no linear interval worth holding against the other.
  if (K95 * a.u > 0.2 * a.value || K95 * b.u > 0.2 * b.value) return [];
  const difference = derive((p, q) => [p! - q!], [a, b])[0]!;
  if (Math.abs(difference.value) <= 2.6 * difference.u || Math.abs(difference.value) <= 0.03 * a.value)
    return [];
  const show = (f: Uncertain) => `${f.value.toFixed(0)} ± ${(K95 * f.u).toFixed(0)} px`;
  return [
    {
      code: "focal-lengths-disagree",
      text: `The ice points give two different focal lengths: ${show(a)} from right angles, ${show(b)} from equal units. A point may be misplaced, or the lens bends lines; heights above the ice are doubtful.`,
    },
  ];
}
