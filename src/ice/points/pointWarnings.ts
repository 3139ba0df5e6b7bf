import type { Warning } from "../../reading.ts";
import type { IcePoint, Picture } from "../../study/types.ts";
import type { IceResidual } from "../types.ts";
import { isOutside } from "./checkIcePoints.ts";

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
      text: `${count === 4 ? "Four" : "Five"} ice points cannot show a bad one, nor a lens that bends lines, so every ± allows for places taped 12 cm wrong. Mark six or more.`,
    },
  ];
}

/** A mark beyond the edge can be right, where painted lines were extended; that has to be meant. */
export function outsidePicture(points: readonly IcePoint[], picture: Picture): Warning[] {
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
