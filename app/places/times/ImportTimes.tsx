import { Button, Modal } from "@mantine/core";
import { useState } from "react";
import { MeasureError } from "../../../src/errors.ts";
import { trialLabel } from "../../../src/study/labels.ts";
import { type BadRow, readTimesCsv, type TimeRow } from "../../../src/study/tables.ts";
import { type MergedTimes, mergeTimes } from "../../../src/trials/mergeTimes.ts";
import { readPastedColumns } from "../../../src/trials/readPastedColumns.ts";
import { timeText } from "../../../src/trials/readTime.ts";
import { importTimes } from "../../commands/trials/importTimes.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";

type State =
  | { readonly kind: "closed" }
  | { readonly kind: "bad"; readonly name: string; readonly rows: readonly BadRow[] }
  | {
      readonly kind: "asks";
      readonly name: string;
      readonly rows: readonly TimeRow[];
      readonly merged: MergedTimes;
    };

export interface Importing {
  readonly state: State;
  readonly readFile: (file: File) => void;
  readonly readPasted: (text: string) => void;
  readonly confirm: () => void;
  readonly close: () => void;
}

/** Reads a table of times, asks before it goes in, and puts it in as one step. */
export function useImport(session: Session): Importing {
  const [state, setState] = useState<State>({ kind: "closed" });
  const read = (name: string, rowsOf: () => TimeRow[]) => {
    try {
      const rows = rowsOf();
      setState({ kind: "asks", name, rows, merged: mergeTimes(session.getState().whole.study, rows) });
    } catch (error) {
      if (!(error instanceof MeasureError) || error.code !== "bad-table") throw error;
      setState({ kind: "bad", name, rows: error.data.rows as readonly BadRow[] });
    }
  };
  return {
    state,
    readFile: (file) => void file.text().then((text) => read(file.name, () => readTimesCsv(text))),
    readPasted: (text) =>
      read("The pasted table", () => readPastedColumns(text, session.getState().whole.study)),
    confirm: () => {
      if (state.kind === "asks" && attempt(session, importTimes, { rows: state.rows }))
        setState({ kind: "closed" });
    },
    close: () => setState({ kind: "closed" }),
  };
}

export function ImportTimes({ importing }: { importing: Importing }) {
  const { state, close, confirm } = importing;
  if (state.kind === "closed") return null;
  if (state.kind === "bad") {
    return (
      <Modal opened onClose={close} size="lg" title={`${state.name} was not imported`}>
        <p>
          {state.rows.length === 1 ? "One problem" : `${state.rows.length} problems`}; nothing was taken from
          it. Put this right and import it again:
        </p>
        <ul className="problem-list">
          {state.rows.map((row) => (
            <li key={`${row.line} ${row.reason}`}>
              <strong>Line {row.line}:</strong> {row.reason}
            </li>
          ))}
        </ul>
        <div className="modal-actions">
          <Button onClick={close}>Close</Button>
        </div>
      </Modal>
    );
  }
  const { merged, rows } = state;
  return (
    <Modal opened onClose={close} size="lg" title={`Import ${state.name}`}>
      <ul className="problem-list">
        <li>{rows.length === 1 ? "One row" : `${rows.length} rows`}, all readable.</li>
        <li>{merged.timed === 1 ? "One trial gets" : `${merged.timed} trials get`} a first time.</li>
        {merged.newTrials > 0 && <li>{merged.newTrials} trials are new.</li>}
        {merged.newSkaters.length > 0 && <li>New skaters: {merged.newSkaters.join(", ")}.</li>}
        {merged.newTechniques.length > 0 && <li>New techniques: {merged.newTechniques.join(", ")}.</li>}
        {merged.changed.map((c) => (
          <li key={c.trial} className="care">
            {trialLabel(merged.study, c.trial)}: {timeText(c.from)} s becomes {timeText(c.to)} s.
          </li>
        ))}
        {merged.byClips > 0 && (
          <li className="care">
            {merged.byClips === 1 ? "One time is by a clip" : `${merged.byClips} times are by clips`} and not
            taken over: pick the frames at the gates on the clip, then choose its time here.
          </li>
        )}
        {merged.unknownClips.length > 0 && (
          <li className="care">
            Clips that are not in the study yet and have to be added: {merged.unknownClips.join(", ")}.
          </li>
        )}
      </ul>
      <div className="modal-actions">
        <Button variant="default" onClick={close}>
          Cancel
        </Button>
        <Button onClick={confirm}>Import</Button>
      </div>
    </Modal>
  );
}
