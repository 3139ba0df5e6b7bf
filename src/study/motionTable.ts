import { MORE_THAN_0, NOT_NEGATIVE, type Row, readTable, WHOLE_FROM_0 } from "./csv.ts";
import type { ClipMotion, LearnedBend } from "./types.ts";

/** The first eight numbers of a frame's map, row by row; the ninth is 1. */
export const MAP_COLUMNS = ["m11", "m12", "m13", "m21", "m22", "m23", "m31", "m32"] as const;
const DOUBT_COLUMNS = ["u_px", "u_turn_px"] as const;
/** Of a clip whose lens bends its picture, the same in all rows. */
export const BEND_COLUMNS = ["bend_second", "bend_fourth", "bend_drift"] as const;
const COLUMNS = {
  table: "motion.csv",
  required: ["frame", "still", "noise_px", ...MAP_COLUMNS, ...DOUBT_COLUMNS],
  optional: ["jump_dx_px", "jump_dy_px", ...BEND_COLUMNS],
};

interface FrameRow {
  readonly frame: number;
  readonly still: boolean | null;
  readonly noisePx: number | null;
  readonly entry: readonly number[] | null;
  readonly jump: { readonly dxPx: number; readonly dyPx: number } | null;
  readonly bend: LearnedBend | null;
}

/** Whether a text is such a table, as far as its header tells. */
export function isMotionTable(text: string): boolean {
  const [head = ""] = text.replace(/^\uFEFF/, "").split(/\r\n|\r|\n/, 1);
  return /(^|,)\s*"?m11"?\s*(,|$)/.test(head);
}

/**
 * `motion.csv`: how one clip's picture moves by its own background, a row a frame, as a trial keeps it. Of a camera that stood
 * still, or whose background does not tell, its first frame and knocks only.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readMotionCsv(text: string): ClipMotion {
  let before: FrameRow | null = null;
  const rows = readTable(text, COLUMNS, (row) => {
    const read = readFrame(row);
    if (before) checkAgainst(before, read, row);
    before = read;
    return read;
  });
  const [first] = rows;
  const still = first?.still ?? null;
  return {
    clip: "",
    still,
    noisePx: first?.noisePx ?? null,
    first: first?.frame ?? 0,
    frames: still === false ? rows.map(({ entry }) => entry) : [],
    bumps: rows.flatMap(({ frame, jump }) => (jump ? [{ frame, ...jump }] : [])),
    ...(still === false && first?.bend && { bend: first.bend }),
  };
}

function readFrame(row: Row): FrameRow {
  const still = row.optionalYesNo("still") ?? null;
  const tells = [...MAP_COLUMNS, ...DOUBT_COLUMNS].some((name) => row.optionalText(name) !== undefined);
  const isBent = BEND_COLUMNS.some((name) => row.optionalText(name) !== undefined);
  const isJump = ["jump_dx_px", "jump_dy_px"].some((name) => row.optionalText(name) !== undefined);
  return {
    frame: row.number("frame", WHOLE_FROM_0),
    still,
    noisePx: row.optionalNumber("noise_px", MORE_THAN_0) ?? null,
    // Half a map is none: every blank cell of a row that tells something is named.
    entry: tells
      ? [
          ...MAP_COLUMNS.map((name) => row.number(name)),
          ...DOUBT_COLUMNS.map((name) => row.number(name, NOT_NEGATIVE)),
        ]
      : null,
    jump: isJump ? { dxPx: row.number("jump_dx_px"), dyPx: row.number("jump_dy_px") } : null,
    bend: isBent
      ? {
          second: row.number("bend_second"),
          fourth: row.number("bend_fourth"),
          drift: row.number("bend_drift", NOT_NEGATIVE),
        }
      : null,
  };
}

/** A clip is still or not as a whole, and of one that is not no frame may be missing: a place in the list is a frame. */
function checkAgainst(before: FrameRow, { frame, still, noisePx, bend }: FrameRow, row: Row): void {
  if (still !== before.still || noisePx !== before.noisePx)
    row.wrong("still and noise_px must be the same in all rows of a clip");
  const isSame = (["second", "fourth", "drift"] as const).every((k) => bend?.[k] === before.bend?.[k]);
  if (!isSame) row.wrong(`${BEND_COLUMNS.join(", ")} must be the same in all rows of a clip`);
  if (still === false && frame !== before.frame + 1)
    row.wrong(
      `frame is ${frame} after ${before.frame}; every frame must have a row, blank where nothing is told`,
    );
  else if (frame <= before.frame) row.wrong(`frame is ${frame} after ${before.frame}; frames must increase`);
}
