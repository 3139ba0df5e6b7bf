import type { PicturePoint, Scale } from "../types.ts";

export interface GridLine {
  /** Picture coordinates, px: x1, y1, x2, y2, … */
  readonly points: readonly number[];
  /** Every fifth metre, drawn stronger. */
  readonly strong: boolean;
  /** "5 m" at the middle of the line; null on weak lines and along the lane. */
  readonly label: { readonly text: string; readonly xPx: number; readonly yPx: number } | null;
}

const STEP_ALONG_LINE = 0.25;

/** A metre grid on the ice, only as far as the ice reference reaches: beyond it the scale is a guess. */
export function iceGrid(scale: Scale, frame: number): readonly GridLine[] {
  if (scale.hull.length < 3) return [];
  const xs = scale.hull.map((p) => p.x);
  const ys = scale.hull.map((p) => p.y);
  const box = { x0: Math.min(...xs), x1: Math.max(...xs), y0: Math.min(...ys), y1: Math.max(...ys) };
  const lines: GridLine[] = [];
  for (let x = Math.ceil(box.x0); x <= box.x1; x++) {
    const points = along(box.y0, box.y1, (y) => scale.toPicture(x, y, 0, frame));
    const middle = x % 5 === 0 ? scale.toPicture(x, (box.y0 + box.y1) / 2, 0, frame) : null;
    const label = middle && { text: `${x} m`, ...middle };
    if (points) lines.push({ points, strong: x % 5 === 0, label });
  }
  for (let y = Math.ceil(box.y0); y <= box.y1; y++) {
    const points = along(box.x0, box.x1, (x) => scale.toPicture(x, y, 0, frame));
    if (points) lines.push({ points, strong: y % 5 === 0, label: null });
  }
  return lines;
}

/** Many short steps, because a lens bends straight lines; null when part of the line is behind the camera. */
function along(from: number, to: number, at: (s: number) => PicturePoint | null): number[] | null {
  const steps = Math.max(1, Math.ceil((to - from) / STEP_ALONG_LINE));
  const points: number[] = [];
  for (let i = 0; i <= steps; i++) {
    const p = at(from + ((to - from) * i) / steps);
    if (!p) return null;
    points.push(p.xPx, p.yPx);
  }
  return points;
}
