import { measureTables } from "../drive.ts";
import type { FilmedTrial } from "../film.ts";
import { judge } from "../judge.ts";
import type { Placement } from "../placements.ts";
import { sharedFilm } from "../sharedFilm.ts";
import { SEED } from "../simulate.ts";
import { scoreInterval } from "../tally.ts";
import { edited, rowsOf } from "./blunder.ts";

/** What comes of the figures that one wrong answer about toward or away from the camera changes. */
export interface ArmAnswers {
  /** Wrong answers tried, and those with whose swing nothing is compared. */
  answers: number;
  /** Swings' directions and angles, and means of them over the trial, that come out otherwise. */
  touched: number;
  /** Of those not shown, with a reason. */
  hidden: number;
  /** Shown, and the truth within ± all the same: the limb lies nearly across the view, so both answers give nearly the same. */
  held: number;
  /** Shown and farther off than ±, and than twice ±. */
  missed: number;
  wrong: number;
}

const STATED_PX = 1;
const WRONG = 2;
const COLUMNS = ["elbow_toward_camera", "wrist_toward_camera"] as const;

/** Every answer of a trial turned by itself; null where the camera sees too little of the lane. */
export function turnEachAnswer(placement: Placement, who: number): ArmAnswers | null {
  const film = sharedFilm(SEED, placement, who);
  const right = film && figures(film, film);
  if (!film || !right) return null;
  const found: ArmAnswers = { answers: 0, touched: 0, hidden: 0, held: 0, missed: 0, wrong: 0 };
  rowsOf(film.tables.events).forEach((row, at) => {
    for (const column of COLUMNS) {
      if (!row[column]) continue;
      const turned = edited(film, "events", (other, k) =>
        k === at ? { ...other, [column]: row[column] === "yes" ? "no" : "yes" } : other,
      );
      const spoilt = figures(film, turned);
      if (!spoilt) continue;
      found.answers++;
      for (const [key, before] of right) {
        const now = spoilt.get(key);
        if (before.error === null || now?.error === before.error) continue;
        found.touched++;
        if (!now || now.error === null) found.hidden++;
        else if (Math.abs(now.error) <= now.u95) found.held++;
        else if (Math.abs(now.error) <= WRONG * now.u95) found.missed++;
        else found.wrong++;
      }
    }
  });
  return found;
}

/** What is said of the arms in one trial, judged, by its place among the figures of its name. */
function figures(film: FilmedTrial, marked: FilmedTrial) {
  const said = measureTables(marked, STATED_PX);
  if (typeof said === "string") return null;
  const counts = new Map<string, number>();
  return new Map(
    judge(film, said, null)
      .filter(({ quantity }) => quantity.includes("arm_"))
      .map((verdict) => {
        const n = counts.get(verdict.quantity) ?? 0;
        counts.set(verdict.quantity, n + 1);
        return [`${verdict.quantity} ${n}`, verdict] as const;
      }),
  );
}

export function addUp(all: readonly (ArmAnswers | null)[]): ArmAnswers {
  const sum: ArmAnswers = { answers: 0, touched: 0, hidden: 0, held: 0, missed: 0, wrong: 0 };
  for (const one of all)
    if (one) for (const key of Object.keys(sum) as (keyof ArmAnswers)[]) sum[key] += one[key];
  return sum;
}

/** Of the figures that a wrong answer changes and that are still shown so many hold the truth, as others do. */
const HOLD = 0.85;
/** And so few are farther off than twice their ±. */
const WRONGLY = 0.01;

/** What is asked of `found` and is not so; the shares by their 95 % intervals. */
export function missedOfAnswers({ touched, hidden, held, missed, wrong }: ArmAnswers): string[] {
  const [, holdTo] = scoreInterval(held, held + missed + wrong);
  const [wrongFrom] = scoreInterval(wrong, touched);
  return [
    ...(holdTo < HOLD ? ["arm answers: coverage of what is still shown"] : []),
    ...(wrongFrom > WRONGLY ? ["arm answers: shown, and farther off than twice ±"] : []),
    ...(hidden === 0 ? ["arm answers: none is found"] : []),
  ];
}

export function answersText({ answers, touched, hidden, held, missed, wrong }: ArmAnswers): string {
  const percent = (n: number, of: number) => `${((100 * n) / Math.max(1, of)).toFixed(1)} %`;
  return `${answers} answers change ${touched} figures; ${percent(hidden, touched)} of these are refused, and of those shown ${percent(held, held + missed + wrong)} hold the truth; ${percent(wrong, touched)} are shown and farther off than twice ±`;
}
