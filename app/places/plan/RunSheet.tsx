import { CAUTIONS } from "../../../src/report/cautions.ts";
import { skaterLabels, techniqueLabels } from "../../../src/study/labels.ts";
import { lengthText } from "../../../src/study/length.ts";
import { dayText, planWords } from "../../../src/study/lockedPlan.ts";
import type { Lane, Study } from "../../../src/study/types.ts";
import { timeText } from "../../../src/trials/readTime.ts";

/** The run order on paper, with room to write times by hand. */
export function RunSheet({ study }: { study: Study }) {
  const skaters = skaterLabels(study, "names");
  const techniques = techniqueLabels(study);
  const { lane } = study;
  const rows = study.trials.slice().sort((a, b) => a.order - b.order);
  return (
    <section className="print-only run-sheet">
      <h1>{study.question || "Run sheet"}</h1>
      <p>{laneLine(lane)}</p>
      <p>{eveningLine(study)}</p>
      {study.plan?.locked && <p>{planWords(study, "names")[0]}</p>}
      <p>Between two trials of one skater: at least two minutes of rest, the same for both techniques.</p>
      <table className="sheet">
        <thead>
          <tr>
            <th>No.</th>
            <th>Skater</th>
            <th>Technique</th>
            <th>Trial</th>
            <th>Time, s</th>
            <th>Clip</th>
            <th>Note</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((t) => (
            <tr key={t.id}>
              <td>{t.order}</td>
              <td>{skaters.get(t.skater)}</td>
              <td>{techniques.get(t.technique)}</td>
              <td>{t.repeat}</td>
              <td className="blank">{t.time === null ? "" : timeText(t.time)}</td>
              <td className="blank" />
              <td className="blank wide">{t.note ?? ""}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <ul>
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </section>
  );
}

function eveningLine({ date, conditions = {} }: Study): string {
  const blank = "____________";
  const day = date ? dayText(date) : blank;
  return `Date ${day}   Ice ${conditions.ice || blank}   Timekeeper ${conditions.timedBy || blank}`;
}

function laneLine(lane: Lane): string {
  const blank = "________";
  const gates = lane.gates.map((g) => lengthText(g, lane.unit)).join(", ");
  return [
    `Lane ${lane.distance > 0 ? lengthText(lane.distance, lane.unit) : blank}`,
    `gates ${gates || blank}`,
    `beam ${lane.gateBeam === "not said" ? blank : lane.gateBeam}`,
    `start ${lane.start === "not said" ? blank : lane.start}`,
  ].join("; ");
}
