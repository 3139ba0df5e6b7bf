/** A pinhole camera written for the tests alone: it shares nothing with src. */
export interface Pinhole {
  see(x: number, y: number, z: number): { readonly xPx: number; readonly yPx: number };
  readonly width: number;
  readonly height: number;
  readonly focalPx: number;
}

/** Camera at `from` (x, y, height) looking at the ice point `aim`, no roll, principal point in the picture's centre. */
export function pinhole(
  from: readonly [number, number, number],
  aim: readonly [number, number],
  hfovDeg: number,
  width = 1920,
  height = 1080,
): Pinhole {
  const focalPx = width / 2 / Math.tan((hfovDeg * Math.PI) / 360);
  const azimuth = Math.atan2(aim[1] - from[1], aim[0] - from[0]);
  const down = Math.atan2(from[2], Math.hypot(aim[0] - from[0], aim[1] - from[1]));
  return {
    width,
    height,
    focalPx,
    see(x, y, z) {
      // Horizontal distance ahead and to the left of the camera, then tilt.
      const ahead = (x - from[0]) * Math.cos(azimuth) + (y - from[1]) * Math.sin(azimuth);
      const left = -(x - from[0]) * Math.sin(azimuth) + (y - from[1]) * Math.cos(azimuth);
      const up = z - from[2];
      const depth = ahead * Math.cos(down) - up * Math.sin(down);
      const lower = -ahead * Math.sin(down) - up * Math.cos(down);
      return {
        xPx: (width - 1) / 2 + (focalPx * -left) / depth,
        yPx: (height - 1) / 2 + (focalPx * lower) / depth,
      };
    },
  };
}
