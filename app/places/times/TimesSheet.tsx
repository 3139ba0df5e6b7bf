import { useMemo, useRef, useState } from "react";
import { useStore } from "zustand";
import { skaterLabels, techniqueLabels, trialLabel } from "../../../src/study/labels.ts";
import type { Study, Trial } from "../../../src/study/types.ts";
import { countedReadings } from "../../../src/trials/countedReadings.ts";
import { readPastedTimes, timeText } from "../../../src/trials/readTime.ts";
import { trialWithSameClip } from "../../../src/trials/sameClip.ts";
import { trialAsAsked } from "../../../src/trials/techniqueCheck.ts";
import { setTime } from "../../commands/setTime.ts";
import { setTimes } from "../../commands/setTimes.ts";
import type { Shell } from "../../shell/Shell.ts";
import { type ClipWatch, clipState } from "../../store/clips.ts";
import { trialReading } from "../../store/readings.ts";
import type { Session } from "../../store/session.ts";
import { sentenceOf, tryCommand } from "../shared/tryCommand.ts";
import { AsAskedChip } from "./AsAskedChip.tsx";
import { ClipCell } from "./ClipCell.tsx";
import { NoteCell } from "./NoteCell.tsx";
import { PairingSaid } from "./PairingSaid.tsx";
import { TrialMenu } from "./TrialMenu.tsx";

export interface TimesSheetProps {
  readonly session: Session;
  readonly shell: Shell;
  readonly clips: ClipWatch;
  /** Question about a time, by trial. */
  readonly doubts: ReadonlyMap<string, string>;
  readonly onDrop: (files: readonly File[], trial: string) => void;
  /** A pasted table with a header row. */
  readonly onTable: (text: string) => void;
}

/** One row a trial, in run order. */
export function TimesSheet({ session, shell, clips, doubts, onDrop, onTable }: TimesSheetProps) {
  const whole = useStore(session, (s) => s.whole);
  const { study } = whole;
  const states = useStore(clips.state);
  const rows = useMemo(() => study.trials.slice().sort((a, b) => a.order - b.order), [study.trials]);
  const skaters = useMemo(() => skaterLabels(study, "names"), [study]);
  const techniques = useMemo(() => techniqueLabels(study), [study]);
  const inputs = useRef(new Map<string, HTMLInputElement>());
  const [over, setOver] = useState<string | null>(null);

  const focusRow = (index: number) => {
    const next = inputs.current.get(rows[index]?.id ?? "");
    next?.focus();
    next?.select();
  };
  const paste = (trial: Trial, text: string): string | null => {
    let refused: string | null = null;
    const unreadable = sentenceOf(() => {
      const times = readPastedTimes(text);
      if (times === null) onTable(text);
      else refused = tryCommand(session, setTimes, { from: trial.id, times });
    });
    return unreadable ?? refused;
  };

  return (
    <div className="sheet-scroll">
      <table className="sheet times-sheet">
        <thead>
          <tr>
            <th className="right">No.</th>
            <th>Skater</th>
            <th>Technique</th>
            <th className="right">Trial</th>
            <th>Time, s</th>
            <th>Clip</th>
            <th>As asked</th>
            <th>Note</th>
            <th>
              <span className="visually-hidden">More</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((trial, i) => {
            const technique = study.techniques.find((t) => t.id === trial.technique);
            const label = `${skaters.get(trial.skater)}, ${techniques.get(trial.technique)}, trial ${trial.repeat}`;
            return (
              <tr
                key={trial.id}
                data-void={!trial.valid || undefined}
                data-over={over === trial.id || undefined}
                onDragOver={(e) => {
                  e.preventDefault();
                  setOver(trial.id);
                }}
                onDragLeave={() => setOver(null)}
                onDrop={(e) => {
                  e.preventDefault();
                  e.stopPropagation();
                  setOver(null);
                  onDrop([...e.dataTransfer.files], trial.id);
                }}
              >
                <td className="right number quiet">{trial.order}</td>
                <td className="times-skater">{skaters.get(trial.skater)}</td>
                <td className="times-technique">{techniques.get(trial.technique)}</td>
                <td className="right number">{trial.repeat}</td>
                <td className="times-time">
                  <TimeCell
                    label={`Time of ${label}, seconds`}
                    time={trial.time}
                    doubt={doubts.get(trial.id) ?? null}
                    hold={(input) => {
                      if (input) inputs.current.set(trial.id, input);
                      else inputs.current.delete(trial.id);
                    }}
                    onType={(text) => tryCommand(session, setTime, { trial: trial.id, text })}
                    onPaste={(text) => paste(trial, text)}
                    onGo={(by) => focusRow(i + by)}
                  />
                  {!trial.valid && <span className="chip times-void">void</span>}
                </td>
                <td>
                  <ClipCell
                    session={session}
                    shell={shell}
                    clips={clips}
                    trial={trial}
                    name={study.clips.find((c) => c.id === trial.clip)?.name ?? null}
                    state={clipState(states, trial.clip ?? null)}
                    label={label}
                    sameAs={sameFilm(study, trial.id)}
                  />
                  {trial.clip !== undefined && <PairingSaid whole={whole} trial={trial.id} />}
                </td>
                <td>
                  {technique && trial.clip !== undefined && (
                    <AsAskedChip
                      asked={trialAsAsked(
                        trial,
                        technique,
                        countedReadings(whole, (id) => trialReading(whole, id)),
                      )}
                    />
                  )}
                </td>
                <td>
                  <NoteCell session={session} trial={trial} label={label} />
                </td>
                <td className="right">
                  <TrialMenu session={session} trial={trial} rows={rows} label={label} />
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

interface TimeCellProps {
  readonly label: string;
  readonly time: number | null;
  readonly doubt: string | null;
  readonly hold: (input: HTMLInputElement | null) => void;
  readonly onType: (text: string) => string | null;
  readonly onPaste: (text: string) => string | null;
  /** To the row so many below. */
  readonly onGo: (by: 1 | -1) => void;
}

/** A refused entry says why and gives way to the old time; nothing wrong is kept. */
function TimeCell({ label, time, doubt, hold, onType, onPaste, onGo }: TimeCellProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const [refused, setRefused] = useState<string | null>(null);
  const shown = time === null ? "" : timeText(time);
  const commit = (): boolean => {
    if (typed === null || typed.trim() === shown) {
      setTyped(null);
      return true;
    }
    const why = onType(typed);
    setRefused(why);
    setTyped(null);
    return why === null;
  };
  return (
    <>
      <input
        ref={hold}
        className="time-input number"
        aria-label={label}
        aria-invalid={refused !== null}
        inputMode="decimal"
        autoComplete="off"
        value={typed ?? shown}
        placeholder="–"
        onChange={(e) => {
          setTyped(e.currentTarget.value);
          setRefused(null);
        }}
        onBlur={commit}
        onPaste={(e) => {
          const text = e.clipboardData.getData("text");
          if (!/[\t\r\n]/.test(text.replace(/(\r\n|\r|\n)$/, ""))) return;
          e.preventDefault();
          setTyped(null);
          setRefused(onPaste(text));
        }}
        onKeyDown={(e) => {
          if (e.key === "Enter" && commit()) onGo(e.shiftKey ? -1 : 1);
          if (e.key === "ArrowDown" || e.key === "ArrowUp") {
            e.preventDefault();
            if (commit()) onGo(e.key === "ArrowDown" ? 1 : -1);
          }
          if (e.key === "Escape") {
            setTyped(null);
            setRefused(null);
          }
        }}
      />
      {refused && (
        <p className="bad times-said" role="alert">
          {refused}
        </p>
      )}
      {!refused && doubt && <p className="care times-said">{doubt}</p>}
    </>
  );
}

function sameFilm(study: Study, trial: string): string | null {
  const other = trialWithSameClip(study, trial);
  return other === null ? null : trialLabel(study, other);
}
