import { MeasureError } from "../errors.ts";
import type { Drawn, Measured, Reading } from "../reading.ts";
import { drawResults, summarise } from "../uncertainty/monteCarlo.ts";
import { assessTrial } from "./measureTrial.ts";
import type { Shown } from "./quantities/readingOf.ts";
import type { MeasureInput, Stride, TrialMean, TrialReadings } from "./types.ts";

/** A number of draws at which the ends of an interval are known to about 3 % of its half-width. */
export const DRAWS = 10_000;
/** Ends of the two intervals may differ by this share of u95 before it is worth a word. */
const AGREE = 0.1;

/**
 * `measureTrial`, and beside every number what Monte Carlo says of it (JCGM 101:2008): all errors are drawn
 * from their own distributions (marks, ice reference and beliefs normal, event frames flat with slips) and
 * every formula is worked out anew for each draw. `monteCarlo.differences` says where the two disagree and why.
 *
 * @param random uniform in [0, 1), such as `randomNumbers(seed)`; the same numbers give the same result
 * @throws {MeasureError} as `measureTrial`; `bad-draws` unless `draws` is a whole number, 100 or more
 */
export function measureTrialDrawn(input: MeasureInput, random: () => number, draws = DRAWS): TrialReadings {
  if (!Number.isInteger(draws) || draws < 100) {
    throw new MeasureError(
      "bad-draws",
      `measureTrialDrawn requires 100 draws or more; got ${draws}`,
      `An interval by drawing needs 100 draws or more, not ${draws}.`,
      { draws },
    );
  }
  const { readings, shown } = assessTrial(input, { drawn: true });
  if (!shown) throw new Error("assessTrial keeps what is shown when errors are going to be drawn");
  const compared = nameAll(readings).filter(({ reading }) => shown.has(reading));
  const rows = drawResults(
    compared.map(({ reading }) => shown.get(reading)!),
    draws,
    random,
  );
  const drawn = new Map(compared.map(({ reading }, k) => [reading, summarise(rows[k]!)]));
  const differences = compared.flatMap(({ what, reading }) => {
    const why = difference(reading as Measured, drawn.get(reading) ?? null, shown);
    return why ? [{ what, why }] : [];
  });
  const report = { draws, compared: compared.length, differences };
  return { ...withDrawn(readings, drawn), monteCarlo: report };
}

type Named = { readonly what: string; readonly reading: Reading | TrialMean };

/** Every reading and mean with its name. */
function nameAll(readings: TrialReadings): Named[] {
  const named = (where: string, of: object): Named[] =>
    Object.entries(of).map(([name, reading]) => ({ what: `${where}, ${name}`, reading }));
  return [
    ...readings.strides.flatMap((s) => [
      ...named(`stride ${s.stride}`, s.readings),
      ...named(`stride ${s.stride}, arm_swing_direction_deg`, s.armSwingDirectionDeg),
      ...named(`stride ${s.stride}, arm_swing_angle_deg`, s.armSwingAngleDeg),
      ...named(`stride ${s.stride}, arm_picture_angle_deg`, s.armPictureAngleDeg),
      ...named(`stride ${s.stride}`, { along_track_speed_m_s: s.alongTrackSpeed }),
    ]),
    ...named("trial", readings.trial),
    ...named("trial, arm_swing_direction_deg", readings.arms.directionDeg),
    ...named("trial, arm_swing_angle_deg", readings.arms.angleDeg),
    ...named("trial", { along_track_speed_m_s: readings.alongTrackSpeed }),
    ...("top" in readings.sprint
      ? named("sprint_curve", { vmax_m_s: readings.sprint.top, tau_s: readings.sprint.tau })
      : []),
    ...readings.gateSpeeds.flatMap((g) => named(`gate ${g.x} m`, { along_track_speed_m_s: g.speed })),
  ];
}

/** Why the drawn interval is not the linear one; null where they agree. */
function difference(
  reading: Measured | TrialMean,
  drawn: Drawn | null,
  shown: NonNullable<Shown>,
): string | null {
  if (!drawn)
    return "For more than one draw in a hundred there is no answer at all: the marks are too near to where the view tells nothing.";
  const { value, u95 } = shown.get(reading as Reading)!;
  const [below, above] = [value - drawn.low, drawn.high - value];
  if (Math.abs(below - u95) <= AGREE * u95 && Math.abs(above - u95) <= AGREE * u95) return null;
  const times = (side: number) => (side / u95).toFixed(2);
  const ends = `Drawn, the interval reaches ${times(below)} times u95 below the value and ${times(above)} times above`;
  const lopsided = Math.abs(above - below) > Math.abs(above + below - 2 * u95);
  if (lopsided)
    return `${ends}: over errors this large the quantity does not follow them in a straight line.`;
  return above + below > 2 * u95
    ? `${ends}: far errors are more frequent than in a normal distribution.`
    : `${ends}: far errors are rarer than in a normal distribution, or can go no further.`;
}

function withDrawn(
  readings: TrialReadings,
  drawn: ReadonlyMap<Reading | TrialMean, Drawn | null>,
): TrialReadings {
  const add = <T extends Reading | TrialMean>(reading: T): T => {
    const found = drawn.get(reading);
    return found ? { ...reading, drawn: found } : reading;
  };
  const addAll = <T extends object>(of: T): T =>
    Object.fromEntries(Object.entries(of).map(([name, reading]) => [name, add(reading)])) as T;
  const strides = readings.strides.map(
    (s): Stride => ({
      ...s,
      readings: addAll(s.readings),
      armSwingDirectionDeg: addAll(s.armSwingDirectionDeg),
      armSwingAngleDeg: addAll(s.armSwingAngleDeg),
      armPictureAngleDeg: addAll(s.armPictureAngleDeg),
      alongTrackSpeed: add(s.alongTrackSpeed),
    }),
  );
  return {
    ...readings,
    strides,
    trial: addAll(readings.trial),
    arms: { directionDeg: addAll(readings.arms.directionDeg), angleDeg: addAll(readings.arms.angleDeg) },
    alongTrackSpeed: add(readings.alongTrackSpeed),
    sprint:
      "top" in readings.sprint
        ? { ...readings.sprint, top: add(readings.sprint.top), tau: add(readings.sprint.tau) }
        : readings.sprint,
    gateSpeeds: readings.gateSpeeds.map((g) => ({ ...g, speed: add(g.speed) })),
  };
}
