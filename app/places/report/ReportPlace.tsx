import { Button, SegmentedControl } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import { type StudyReport, studyReport } from "../../../src/report/studyReport.ts";
import type { Names } from "../../../src/study/labels.ts";
import { EachSkater } from "../../charts/EachSkater.tsx";
import { TechniqueCheckFigure } from "../../charts/TechniqueCheckFigure.tsx";
import { trialReading } from "../../store/readings.ts";
import { AnswerCard } from "../compare/AnswerCard.tsx";
import { NumbersTable } from "../compare/NumbersTable.tsx";
import type { PlaceProps } from "../PlaceProps.ts";
import { TrialsTable } from "./TrialsTable.tsx";
import "../shared/places.css";
import "../compare/compare.css";
import "./report.css";

/** What will be printed, as it will be printed. */
export function ReportPlace({ session }: PlaceProps) {
  const whole = useStore(session, (s) => s.whole);
  const [names, setNames] = useState<Names>("names");
  const report = useMemo(
    () => studyReport(whole, names, (trial) => trialReading(whole, trial)),
    [whole, names],
  );
  return (
    <div className="place report-place">
      <header className="place-head screen-only">
        <div>
          <h1>Report</h1>
          <p className="quiet">As it will be printed. The system's print dialogue can also save it as PDF.</p>
        </div>
        <div className="place-actions">
          <SegmentedControl
            aria-label="How skaters are called"
            value={names}
            onChange={(value) => setNames(value as Names)}
            data={[
              { value: "names", label: "Names" },
              { value: "codes", label: "Codes" },
            ]}
          />
          <Button onClick={() => window.print()}>Print</Button>
        </div>
      </header>
      <Paper report={report} />
    </div>
  );
}

function Paper({ report }: { report: StudyReport }) {
  const { answer } = report;
  return (
    <article className="card paper">
      <h1>{report.question}</h1>
      <p className="quiet">Printed {new Date().toLocaleDateString("en-GB", { dateStyle: "long" })}</p>
      <h2>Answer</h2>
      {answer ? <AnswerCard answer={answer} /> : <p>There are no two techniques to compare.</p>}
      {answer && answer.all.n > 0 && (
        <>
          <h2>
            Each skater, time in s: {answer.b.name} against {answer.a.name}
          </h2>
          <EachSkater comparison={answer.all} />
        </>
      )}
      {answer && (
        <>
          <h2>Did they do what was asked?</h2>
          <TechniqueCheckFigure check={answer.check} />
        </>
      )}
      <h2>Trials in run order</h2>
      <TrialsTable report={report} />
      {answer && (
        <>
          <h2>The numbers</h2>
          <NumbersTable all={answer.all} asAskedOnly={answer.asAskedOnly} />
          <List items={answer.worthKnowing.map((w) => w.text)} />
        </>
      )}
      <h2>How it was done</h2>
      <List items={report.setting} />
      {report.marking.length > 0 && (
        <table className="sheet">
          <thead>
            <tr>
              <th>Trial</th>
              <th>Marks</th>
              <th>Scale of the ice</th>
            </tr>
          </thead>
          <tbody>
            {report.marking.map((m) => (
              <tr key={m.trial}>
                <td>{m.trial}</td>
                <td>{m.marks}</td>
                <td>{m.scale}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <h2>What could not be had, and why</h2>
      {report.refused.length === 0 ? (
        <p>
          {report.trials.length === 0
            ? "There are no trials yet, so nothing was asked for."
            : "Everything asked for could be measured."}
        </p>
      ) : (
        <dl className="refused">
          {report.refused.map((r) => (
            <div key={r.why}>
              <dt>{r.why}</dt>
              <dd className="quiet">{r.of.join("; ")}</dd>
            </div>
          ))}
        </dl>
      )}
      <h2>Cautions</h2>
      <List items={report.cautions} />
    </article>
  );
}

function List({ items }: { items: readonly string[] }) {
  if (items.length === 0) return null;
  return (
    <ul>
      {items.map((item) => (
        <li key={item}>{item}</li>
      ))}
    </ul>
  );
}
