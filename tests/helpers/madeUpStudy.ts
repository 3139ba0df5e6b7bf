import { MeasureError } from "../../src/errors.ts";
import type { TrialMean, TrialReadings } from "../../src/kinematics/types.ts";
import { reckonedSds } from "../../src/marks/markSds.ts";
import { TRIAL_QUANTITIES } from "../../src/quantities/catalogue.ts";
import type { Side, Trial, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import { normal, seeded } from "./random.ts";
import { STUDY } from "./studyFolder.ts";

const SKATERS = ["Ada", "Bo", "Cleo", "Dag", "Ebba", "Finn", "Gro", "Hal", "Ida", "Jon", "Kaia", "Liv"];
const TECHNIQUES = ["low hands", "high hands", "no hands", "own way"];

/** What a trial of a made-up study was measured to: metres, with the half-width of its 95 % interval. */
export interface MadeUp {
  /** What was asked by: touchdown to track midline, or in a study of arms their direction, degrees. */
  readonly touchdown: number;
  readonly width: number;
  readonly recovery?: number;
  /** Left minus right of what was asked by and of the width, as a share; absent = 0. */
  readonly apart?: number;
  readonly u95: number;
}

/** A study of arms is one of touchdowns with so many degrees for each metre: 30 and 45° are its bands' edges. */
export const DEGREES_A_METRE = 250;

export interface MadeUpStudy {
  readonly ofArms: boolean;
  readonly whole: WholeStudy;
  readonly readingOf: ReadingOf;
  /** Of trials with a clip, by id. */
  readonly measured: ReadonlyMap<string, MadeUp>;
  /** Trials whose clip does not fit their time. */
  readonly suspect: ReadonlySet<string>;
}

/**
 * A study nobody skated, different with every seed: 1 to 12 skaters, two to four techniques, one to three repeats,
 * differences from none to clear, ties, trials without a time, void ones, clips that do not fit, trials not as asked.
 */
export function madeUpStudy(seed: number, ofArms = false): MadeUpStudy {
  const unit = ofArms ? DEGREES_A_METRE : 1;
  const random = seeded(seed);
  const sideways = seeded(seed + 1e6);
  const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)]!;
  const skaters = pick([1, 2, 3, 3, 4, 5, 6, 7, 8, 10, 12]);
  const techniques = pick([2, 2, 2, 3, 4]);
  const repeats = pick([1, 2, 2, 3]);
  const effect = pick([0, 0, 0.02, -0.05, -0.15, 0.15, -0.4]);
  const scatter = pick([0, 0.01, 0.03, 0.08]);
  const own = pick([0, 0.02, 0.08]);
  const gaps = pick([0, 0, 0.1, 0.3]);
  const filmed = pick([0, 0.6, 1]);
  const trials: Trial[] = [];
  const measured = new Map<string, MadeUp>();
  const suspect = new Set<string>();
  const marks: Record<string, TrialMarks> = {};
  for (let s = 0; s < skaters; s++) {
    const level = 4.6 + 0.15 * normal(random);
    const likes = Array.from({ length: techniques }, (_, t) => t * effect + own * normal(random));
    const order = Array.from({ length: repeats * techniques }, (_, k) => k).sort(() => random() - 0.5);
    order.forEach((place, k) => {
      const technique = place % techniques;
      const id = `s${s}-t${technique}-${1 + Math.floor(place / techniques)}`;
      const time =
        random() < gaps ? null : Number((level + likes[technique]! + scatter * normal(random)).toFixed(2));
      const clip = random() < filmed ? `clip-${id}` : undefined;
      trials.push({
        id,
        skater: `s${s}`,
        technique: `t${technique}`,
        repeat: 1 + Math.floor(place / techniques),
        order: s * repeats * techniques + k + 1,
        time,
        valid: random() > 0.04,
        speedFactor: 1,
        ...(clip && { clip }),
      });
      if (!clip) return;
      const astray = random() < 0.1;
      const touchdown = unit * ((technique % 2 === (astray ? 1 : 0) ? 0.04 : 0.27) + 0.02 * normal(random));
      measured.set(id, {
        touchdown,
        width: 1.1 + 0.05 * technique + 0.04 * normal(random),
        apart: 0.1 * normal(sideways),
        u95: pick([0.01, 0.04]),
      });
      if (time === null || random() > 0.08) return;
      suspect.add(id);
      // Half a second off from gate to gate: no clip of this trial.
      const passing = (gate: number, seconds: number) => ({
        gate,
        frame: Math.round(60 * seconds),
        time: seconds,
      });
      marks[id] = {
        ...emptyMarks(id),
        picture: { clip, width: 1280, height: 720, frameInterval: 1 / 60 },
        gatePassings: [passing(0, 1), passing(30, 1 + time + 0.5)],
      };
    });
  }
  const study: WholeStudy["study"] = {
    ...STUDY,
    question: "Which is faster?",
    skaters: SKATERS.slice(0, skaters).map((name, k) => ({ id: `s${k}`, name, code: `S${k + 1}`, body: {} })),
    techniques: TECHNIQUES.slice(0, techniques).map((name, t) => ({
      id: `t${t}`,
      name,
      asked:
        seed % 5 === 0
          ? []
          : [
              {
                quantity: ofArms
                  ? ("arm_swing_direction_deg" as const)
                  : ("touchdown_to_track_midline_m" as const),
                ...(t % 2 === 0 ? { max: 0.12 * unit } : { min: 0.18 * unit }),
              },
            ],
    })),
    trials,
    clips: [],
    worthwhile: pick([null, 0.04, 0.02]),
    compare: { a: "t0", b: "t1" },
  };
  const readingOf: ReadingOf = (id) => {
    const made = measured.get(id);
    if (made) return { ok: true, value: readings(made, ofArms) };
    return { ok: false, error: new MeasureError("no-marks", "nothing is marked", "Nothing is marked yet.") };
  };
  return { ofArms, whole: { study, marks }, readingOf, measured, suspect };
}

/** Only what sentences rest on; everything else could not be measured. */
function readings({ touchdown, width, apart = 0, u95: metres }: MadeUp, ofArms: boolean): TrialReadings {
  const side = (value: number, of: Side, unit: number) => ({
    mean: value * (1 + (of === "left" ? apart : -apart) / 2),
    u95: metres * unit,
    n: 3,
  });
  const mean = (value: number, unit = 1): TrialMean => {
    const [left, right] = [side(value, "left", unit), side(value, "right", unit)];
    const leftMinusRight = { value: left.mean - right.mean, u95: 2 * left.u95 };
    return { mean: value, sd: 0.02 * unit, u95: left.u95, n: 6, left, right, leftMinusRight };
  };
  const asked = ofArms ? "arm_swing_direction_deg" : "touchdown_to_track_midline_m";
  const none = { value: null, why: "It was not marked." } as const;
  const both = { left: none, right: none };
  // Of one arm alone there is nothing to take the other from.
  const arm = (of: Side): TrialMean => ({
    ...{ ...side(touchdown, of, DEGREES_A_METRE), sd: 0.02 * DEGREES_A_METRE },
    ...{ left: none, right: none, leftMinusRight: none },
  });
  return {
    scale: null,
    scaleWhy: "There is no ice reference.",
    strides: [],
    places: [],
    gateSpeeds: [],
    runner: none,
    warnings: [],
    trial: Object.fromEntries(
      TRIAL_QUANTITIES.map((q) => [
        q,
        q === asked
          ? mean(touchdown, ofArms ? DEGREES_A_METRE : 1)
          : q === "stride_width_m"
            ? mean(width)
            : none,
      ]),
    ) as unknown as TrialReadings["trial"],
    arms: { directionDeg: ofArms ? { left: arm("left"), right: arm("right") } : both, angleDeg: both },
    alongTrackSpeed: none,
    sprint: none,
    marking: reckonedSds(null, 1.5, false),
  };
}
