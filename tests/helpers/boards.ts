import { readFileSync } from "node:fs";

/*
 * Photographs of one 9 x 6 board by two real cameras: OpenCV's own calibration pictures, left01 to left14 and right01 to right14
 * (Apache-2.0, copyright Intel Corporation and the OpenCV contributors; 640 x 480, f about 535 px, k1 about -0.28, principal point at
 * 342, 235). tests/reference/boards.py found the corners, by cv2.findChessboardCorners and cv2.cornerSubPix of OpenCV 4.6.
 */
export const { columns, rows, width, height, cameras, fits, boards } = JSON.parse(
  readFileSync(new URL("../reference/boards.json", import.meta.url), "utf8"),
) as {
  columns: number;
  rows: number;
  width: number;
  height: number;
  cameras: Record<"left" | "right", { offCentre: number[] }>;
  fits: (Record<"chiSquare" | "focal" | "sdLogFocal" | "k1" | "sdK1", number> & {
    name: string;
    ice: number[];
    offCentre: number[];
    centre: number[];
  })[];
  boards: Board[];
};

export interface Board {
  readonly name: string;
  /** x and y of each corner, row by row, px. */
  readonly corners: readonly number[];
}

/** Squares are called 0.3 m: a sheet of ice of 2.4 m by 1.5 m. */
export const SQUARE = 0.3;
/** How well a corner is found, px per coordinate. */
export const MARK_SD_PX = 0.4;
