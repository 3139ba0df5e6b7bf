import { useMemo } from "react";
import { useStore } from "zustand";
import type { Stride, TrialMean, TrialReadings } from "../../../../src/kinematics/types.ts";
import { entryOf, MEANS_OF_STRIDES } from "../../../../src/quantities/catalogue.ts";
import type { Reading } from "../../../../src/reading.ts";
import type { Side } from "../../../../src/study/types.ts";
import { farRecoveries } from "../../../../src/trials/farRecoveries.ts";
import { formatReading } from "../../../../src/uncertainty/format.ts";
import type { Derived } from "../../../store/readings.ts";
import { currentStride } from "../core/currentStride.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { markingWords } from "../guide/markingWords.ts";
import { bodyWords } from "./bodyWords.ts";
import { ARM_WORDS, type QuantityWords, SPEED_WORDS } from "./quantityWords.ts";
import { AtFrame, Explained, eitherText, hasMean, Mean, Why } from "./StrideCells.tsx";

/** The current stride's numbers with the trial's mean beside each; where there is none, why. */
export function StridePanel({ m, reading }: { m: Measuring; reading: Derived<TrialReadings> }) {
  const stride = useStore(m.session, (s) =>
    reading.ok ? currentStride(reading.value.strides, s.frame) : null,
  );
  const far = useMemo(() => farRecoveries(m.whole, m.trial.id), [m.whole, m.trial.id]);
  if (!reading.ok) {
    return (
      <section className="card stride-panel">
        <h2>Strides</h2>
        <p className={m.marks.events.length > 0 ? "care" : "quiet"}>{emptyWords(m, reading.error.coach)}</p>
      </section>
    );
  }
  if (!stride) {
    return (
      <section className="card stride-panel">
        <h2>Strides</h2>
        <p className="quiet">{emptyWords(m, "")}</p>
      </section>
    );
  }
  const skater = m.whole.study.skaters.find((s) => s.id === m.trial.skater);
  const guessed = skater && bodyWords(skater.body, reading.value);
  return (
    <section className="card stride-panel" aria-label={`Numbers of stride ${stride.stride}`}>
      <table>
        <thead>
          <tr>
            <th scope="col">
              <h2>
                Stride {stride.stride}, <span className={stride.side}>{stride.side}</span>{" "}
                <small className="quiet">of {reading.value.strides.length}</small>
              </h2>
            </th>
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
      <p className="quiet">{markingWords(reading.value.marking)}</p>
      {guessed && <p className="quiet">{guessed}</p>}
      {[...reading.value.warnings, ...far.filter((f) => f.stride !== stride.stride)].map((w) => (
        <p key={w.code + w.text} className="care stride-warning">
          {w.text}
        </p>
      ))}
    </section>
  );
}

function emptyWords(m: Measuring, coach: string): string {
  if (m.marks.events.length > 0) return coach;
  return "Nothing is picked yet. Numbers appear here as soon as there is enough to compute them: stride rate after two blade-offs, stride width after three in a row.";
}

interface RowProps {
  readonly words: QuantityWords;
  readonly reading: Reading;
  readonly mean?: TrialMean;
  /** What speaks against the number, read right under it. */
  readonly doubt?: string | undefined;
}

function Row({ words, reading, mean, doubt }: RowProps) {
  const missing = reading.value === null;
  return (
    <>
      <tr data-missing={missing ? "" : undefined}>
        <th scope="row">
          <Explained words={words} />
        </th>
        {missing ? (
          <td colSpan={hasMean(mean) ? 1 : 2} className="why">
            {reading.why}
          </td>
        ) : (
          <td className="number value" data-doubt={doubt === undefined ? undefined : ""}>
            {formatReading(reading, words.unit)}
            <AtFrame reading={reading} unit={words.unit} />
          </td>
        )}
        {(!missing || hasMean(mean)) && (
          <td className="number quiet">
            <Mean mean={mean} unit={words.unit} />
          </td>
        )}
      </tr>
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

/** Both arms in one row each for direction and angle; one row with the reason when no arm is marked. */
function ArmRows({ stride, means }: { stride: Stride; means: TrialReadings["trial"] }) {
  const rows = [
    {
      words: ARM_WORDS.direction,
      by: stride.armSwingDirectionDeg,
      mean: means.arm_swing_direction_deg,
    },
    { words: ARM_WORDS.angle, by: stride.armSwingAngleDeg, mean: means.arm_swing_angle_deg },
  ];
  if (rows.every(({ by }) => SIDES.every((side) => by[side].value === null)))
    return <Row words={ARM_WORDS.direction} reading={stride.armSwingDirectionDeg[stride.side]} />;
  return rows.map(({ words, by, mean }) => (
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
      </td>
    </tr>
  ));
}

const SIDES: readonly Side[] = ["left", "right"];
