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

export const ARM_BLUNDERS: readonly Blunder[] = [wrongAnswer("elbow"), wrongAnswer("wrist")];
