import type { Dice } from "../random.ts";
import { type Blunder, edited, oneOf, rowsOf } from "./blunder.ts";

/** Mistakes with what was said of the arms. */

type Film = Parameters<Blunder["spoil"]>[0];

function answerTurned(column: string, film: Film, d: Dice): Film | null {
  const said = rowsOf(film.tables.events).flatMap((row, k) => (row[column] ? [k] : []));
  if (said.length === 0) return null;
  const which = oneOf(d, said);
  return edited(film, "events", (row, k) =>
    k === which ? { ...row, [column]: row[column] === "yes" ? "no" : "yes" } : row,
  );
}

const wrongAnswer = (joint: string): Blunder => ({
  name: `one answer wrong: the ${joint} toward the camera, or away`,
  unseen:
    "where the limb lies nearly across the view both answers give nearly the same; a lone swing has none to be like",
  spoil: (film, d) => answerTurned(`${joint}_toward_camera`, film, d),
});

const no = (said: string | undefined) => (said === "yes" ? "no" : said === "no" ? "yes" : (said ?? ""));

/** Every answer the wrong way round, of one arm or of both. */
const allTurned = (whose: string, isMeant: (side: string) => boolean): Blunder => ({
  name: `all answers of ${whose} wrong: toward the camera, or away`,
  unseen:
    "arms that swing across the view look nearly the same either way round: fore and aft from the side, side to side from the front",
  spoil: (film) =>
    edited(film, "events", (row) =>
      isMeant(row.side!)
        ? {
            ...row,
            elbow_toward_camera: no(row.elbow_toward_camera),
            wrist_toward_camera: no(row.wrist_toward_camera),
          }
        : row,
    ),
});

export const ARM_BLUNDERS: readonly Blunder[] = [
  wrongAnswer("elbow"),
  wrongAnswer("wrist"),
  allTurned("one arm", (side) => side === "left"),
  allTurned("both arms", () => true),
];
