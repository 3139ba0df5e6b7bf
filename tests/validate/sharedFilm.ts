import { type Conditions, type FilmedTrial, filmTrial, ORDINARY } from "./film.ts";
import { PLACEMENTS, type Placement } from "./placements.ts";

const films = new Map<string, FilmedTrial | null>();

/** `filmTrial`, filmed once for all that only look at it: to simulate a trial takes as long as to measure it. */
export function sharedFilm(
  seed: number,
  placement: Placement,
  who: number,
  conditions: Conditions = ORDINARY,
): FilmedTrial | null {
  const key = JSON.stringify([seed, PLACEMENTS.indexOf(placement), who, conditions]);
  const known = films.get(key);
  if (known !== undefined) return known;
  const film = filmTrial(seed, placement, who, conditions);
  films.set(key, film);
  return film;
}
