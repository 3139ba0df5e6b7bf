import { BEND_COLUMNS, MAP_COLUMNS } from "../../study/motionTable.ts";
import type { ClipMotion, TrialMarks } from "../../study/types.ts";
import { OF_TRIAL, TRIAL } from "./peopleTables.ts";
import { type Cell, number, type Table, whole, yesNo } from "./table.ts";

/**
 * `motion`: how the picture of each clip moves by its own background, as `measure --motion` reads it; without it, marks and ice
 * points of a clip that shakes do not tell where its skater was.
 */
export function motionTable(
  trials: readonly { readonly key: string; readonly marks: Pick<TrialMarks, "motion" | "picture"> }[],
): Table {
  // Only where a lens was seen to bend a picture: other studies' tables stay as they are.
  const bent = trials.some(({ marks }) => marks.motion?.bend);
  const unit = (name: string) => (name.endsWith("3") ? "px" : name.startsWith("m3") ? "1/px" : "");
  return {
    name: "motion",
    title:
      "How each clip's picture moves, by its background: where that of its first row is seen in every other frame",
    key: ["trial", "frame"],
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      whole("frame", "frame of the clip, the first is 0", { required: true }),
      yesNo(
        "still",
        "did the camera stand still; blank: the background does not tell; the same in all rows of a clip",
      ),
      number(
        "noise_px",
        "SD of one coordinate of a frame by the method itself; the same in all rows of a clip",
        "px",
      ),
      ...MAP_COLUMNS.map((name) =>
        number(
          name,
          `row ${name[1]}, column ${name[2]} of the map from the picture of the clip's first row to this frame's (m33 is 1); blank: the background does not tell, or the camera stood still`,
          unit(name),
        ),
      ),
      number("u_px", "standard uncertainty of where the frame lies, each way", "px"),
      number(
        "u_turn_px",
        "standard uncertainty of its turn and growth, at a typical place of the picture",
        "px",
      ),
      number(
        "jump_dx_px",
        "on the first frame after a knock: the picture's centre jumped so far right",
        "px",
      ),
      number("jump_dy_px", "so far down", "px"),
      ...(bent ? BEND_COLUMNS.map((name) => number(name, BENT[name], "")) : []),
    ],
    // What was found on another clip than the marks are put on counts no more.
    rows: trials.flatMap(({ key, marks: { motion, picture } }) =>
      motion && motion.clip === picture?.clip ? rowsOf(key, motion, bent) : [],
    ),
  };
}

const BENT = {
  bend_second:
    "where the lens bends the picture, the map is of straightened pictures: a place at r half diagonals from the centre would be seen at r / (1 + bend_second r^2 + bend_fourth r^4); the same in all rows of a clip",
  bend_fourth: "likewise",
  bend_drift: "what is left open of it, standard uncertainty, px a px panned",
} as const;

const NOTHING: Cell[] = [...MAP_COLUMNS, "u_px", "u_turn_px"].map(() => null);

function rowsOf(
  key: string,
  { still, noisePx, first, frames, bumps, bend }: ClipMotion,
  bent: boolean,
): Cell[][] {
  const jumps = new Map(bumps.map((bump) => [bump.frame, bump]));
  const listed =
    frames.length > 0
      ? frames.map((_, k) => first + k)
      : [...new Set([first, ...jumps.keys()])].sort((a, b) => a - b);
  return listed.map((frame): Cell[] => {
    const jump = jumps.get(frame);
    const map = frames[frame - first] ?? NOTHING;
    const lens = bent ? [bend?.second, bend?.fourth, bend?.drift] : [];
    return [key, frame, still, noisePx, ...map, jump?.dxPx, jump?.dyPx, ...lens];
  });
}
