/** The lane from above: x along the lane goes up, y to the skater's left goes left. Same scale both ways. */
export interface MapView {
  /** Stage px per metre. */
  readonly pxPerM: number;
  /** Ice point in the middle of the stage. */
  readonly cx: number;
  readonly cy: number;
  readonly width: number;
  readonly height: number;
}

export interface Box {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

export function toMap(view: MapView, x: number, y: number): { x: number; y: number } {
  return {
    x: view.width / 2 - (y - view.cy) * view.pxPerM,
    y: view.height / 2 - (x - view.cx) * view.pxPerM,
  };
}

export function boxOf(points: readonly { x: number; y: number }[]): Box | null {
  if (points.length === 0) return null;
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return { x0: Math.min(...xs), x1: Math.max(...xs), y0: Math.min(...ys), y1: Math.max(...ys) };
}

/** Shows the whole box with a margin; never closer than 3 m across, so that a single point does not fill the map. */
export function fitBox(box: Box, width: number, height: number, marginPx: number): MapView {
  const across = Math.max(3, box.y1 - box.y0);
  const along = Math.max(3, box.x1 - box.x0);
  const pxPerM = Math.min((width - 2 * marginPx) / across, (height - 2 * marginPx) / along);
  return {
    pxPerM: Math.max(1, pxPerM),
    cx: (box.x0 + box.x1) / 2,
    cy: (box.y0 + box.y1) / 2,
    width,
    height,
  };
}

/** Metres between the drawn lines across the lane: 1, 2, 5, 10 …, at least 26 px apart. */
export function lineSpacing(pxPerM: number): number {
  return [1, 2, 5, 10, 20, 50].find((m) => m * pxPerM >= 26) ?? 100;
}
