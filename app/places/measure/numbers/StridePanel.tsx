import { useMemo } from "react";
import { useStore } from "zustand";
import type { Stride, TrialMean, TrialReadings } from "../../../../src/kinematics/types.ts";
import { entryOf, MEANS_OF_STRIDES } from "../../../../src/quantities/catalogue.ts";
import type { Reading } from "../../../../src/reading.ts";
import type { Side, Trial, WholeStudy } from "../../../../src/study/types.ts";
import { farRecoveries } from "../../../../src/trials/farRecoveries.ts";
import { scaleAgainstGates } from "../../../../src/trials/scaleAgainstGates.ts";
import { formatReading } from "../../../../src/uncertainty/format.ts";
import { capital } from "../../../../src/words.ts";
import type { Derived } from "../../../store/readings.ts";
import type { Session } from "../../../store/session.ts";
import { currentStride } from "../core/currentStride.ts";
import { markingWords } from "../guide/markingWords.ts";
import { bodyWords } from "./bodyWords.ts";
import { ARM_WORDS, type QuantityWords, SPEED_WORDS } from "./quantityWords.ts";
import {
  AtFrame,
  BothSides,
  bothSides,
  Explained,
  eitherText,
  hasMean,
  Mean,
  onScreen,
  Why,
} from "./StrideCells.tsx";

interface Props {
  readonly session: Session;
  readonly whole: WholeStudy;
  readonly trial: Trial;
  readonly reading: Derived<TrialReadings>;
}

/** The current stride's numbers with the trial's mean beside each; what is missing, and why, in a line of its own. */
export function StridePanel({ session, whole, trial, reading }: Props) {
  const stride = useStore(session, (s) =>
    reading.ok ? currentStride(reading.value.strides, s.frame) : null,
  );
  const far = useMemo(() => farRecoveries(whole, trial.id), [whole, trial.id]);
  const gates = useMemo(() => scaleAgainstGates(whole, trial.id, () => reading), [whole, trial.id, reading]);
  if (!reading.ok || !stride) {
    const begun = (whole.marks[trial.id]?.events.length ?? 0) > 0;
    return (
      <section className="card stride-panel">
        <h2>Strides</h2>
        <p className="quiet">{begun && !reading.ok ? reading.error.coach : NOTHING_YET}</p>
      </section>
    );
  }
  const skater = whole.study.skaters.find((s) => s.id === trial.skater);
  const guessed = skater && bodyWords(skater.body, reading.value);
  return (
    <section className="card stride-panel" aria-label={`Numbers of stride ${stride.stride}`}>
      <table>
        <caption>
          <h2>
            Stride {stride.stride}, <span className={stride.side}>{stride.side}</span>{" "}
            <small className="quiet">of {reading.value.strides.length}</small>
          </h2>
        </caption>
        <thead>
          <tr>
            <td />
            <th scope="col" className="quiet">
              this stride
            </th>
            <th scope="col" className="quiet">
              trial mean
            </th>
          </tr>
        </thead>
        <tbody>
          {MEANS_OF_STRIDES.map((q) => (
            <Row
              key={q}
              words={entryOf(q)}
              reading={stride.readings[q]}
              mean={reading.value.trial[q]}
              doubt={q === "recovery_time_s" ? far.find((f) => f.stride === stride.stride)?.text : undefined}
            />
          ))}
          <Row words={SPEED_WORDS} reading={stride.alongTrackSpeed} mean={reading.value.alongTrackSpeed} />
          <ArmRows stride={stride} means={reading.value.trial} />
        </tbody>
      </table>
      <Missing stride={stride} />
      <p className="quiet">{markingWords(reading.value.marking)}</p>
      {guessed && <p className="quiet">{guessed}</p>}
      {[...reading.value.warnings, ...gates, ...far.filter((f) => f.stride !== stride.stride)].map((w) => (
        <p key={w.code + w.text} className="care stride-warning">
          {w.text}
        </p>
      ))}
    </section>
  );
}

const NOTHING_YET =
  "Nothing is picked yet. Numbers appear here as soon as there is enough to compute them: stride rate after two blade-offs, stride width after three in a row.";

/** What this stride does not tell, one line a reason. */
function Missing({ stride }: { stride: Stride }) {
  const why = new Map<string, string[]>();
  const miss = (name: string, reading: Reading) => {
    if (reading.value === null) why.set(reading.why, [...(why.get(reading.why) ?? []), name]);
  };
  for (const q of MEANS_OF_STRIDES) miss(entryOf(q).name, stride.readings[q]);
  miss(SPEED_WORDS.name, stride.alongTrackSpeed);
  if (!hasArms(stride)) miss(ARM_WORDS.direction.name, stride.armSwingDirectionDeg[stride.side]);
  return [...why].map(([reason, names]) => (
    <p key={reason} className="quiet stride-missing">
      {names.length > 2 ? (
        <Why why={`${capital(names.join(", "))}.`} short={`${names.length} numbers wait:`} />
      ) : (
        `${capital(names.join(" and ").toLowerCase())}:`
      )}{" "}
      {reason}
    </p>
  ));
}

interface RowProps {
  readonly words: QuantityWords;
  readonly reading: Reading;
  readonly mean?: TrialMean;
  /** What speaks against the number, read right under it. */
  readonly doubt?: string | undefined;
}

function Row({ words, reading, mean, doubt }: RowProps) {
  // What neither this stride nor the trial tells is said under the table, all of it in a line or two.
  if (reading.value === null && !hasMean(mean)) return null;
  const sides = bothSides(mean, words.unit);
  return (
    <>
      <tr data-missing={reading.value === null ? "" : undefined}>
        <th scope="row" rowSpan={sides ? 2 : 1}>
          <Explained words={words} />
        </th>
        {reading.value === null ? (
          <td className="quiet">
            <Why why={reading.why} short="–" />
          </td>
        ) : (
          <td className="number value" data-doubt={doubt === undefined ? undefined : ""}>
            {onScreen(reading, words.unit)}
            <AtFrame reading={reading} unit={words.unit} />
          </td>
        )}
        <td className="number quiet">
          <Mean mean={mean} unit={words.unit} />
        </td>
      </tr>
      {sides && (
        <tr className="sides">
          <td colSpan={2} className="number quiet">
            <BothSides {...sides} />
          </td>
        </tr>
      )}
      {doubt !== undefined && (
        <tr className="doubt">
          <td colSpan={3} className="care">
            {doubt}
          </td>
        </tr>
      )}
    </>
  );
}

function hasArms({ armSwingDirectionDeg, armSwingAngleDeg }: Stride): boolean {
  const either = [armSwingDirectionDeg, armSwingAngleDeg].flatMap((by) => SIDES.map((side) => by[side]));
  return either.some((r) => r.value !== null || eitherText(r, "°") !== null);
}

/** Both arms in one row each for direction and angle; none when no arm is marked. */
function ArmRows({ stride, means }: { stride: Stride; means: TrialReadings["trial"] }) {
  const rows = [
    {
      words: ARM_WORDS.direction,
      by: stride.armSwingDirectionDeg,
      mean: means.arm_swing_direction_deg,
      sides: bothSides(means.arm_swing_direction_deg, ARM_WORDS.direction.unit),
    },
    {
      words: ARM_WORDS.angle,
      by: stride.armSwingAngleDeg,
      mean: means.arm_swing_angle_deg,
      sides: bothSides(means.arm_swing_angle_deg, ARM_WORDS.angle.unit),
    },
  ];
  if (!hasArms(stride)) return null;
  return rows.map(({ words, by, mean, sides }) => (
    <tr key={words.name}>
      <th scope="row">
        <Explained words={words} />
      </th>
      <td className="number arms">
        {SIDES.map((side) => (
          <span key={side}>
            <span className={side}>{side}</span>{" "}
            {by[side].value === null ? (
              <Why why={by[side].why} short={eitherText(by[side], words.unit) ?? "not measured"} />
            ) : (
              <strong>{formatReading(by[side], words.unit)}</strong>
            )}
          </span>
        ))}
      </td>
      <td className="number quiet">
        <Mean mean={mean} unit={words.unit} />
        {sides && <BothSides {...sides} />}
      </td>
    </tr>
  ));
}

const SIDES: readonly Side[] = ["left", "right"];
