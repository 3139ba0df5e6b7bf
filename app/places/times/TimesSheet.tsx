import { useMemo, useRef, useState } from "react";
import { useStore } from "zustand";
import { skaterLabels, techniqueLabels, trialLabel } from "../../../src/study/labels.ts";
import type { Study, Trial, WholeStudy } from "../../../src/study/types.ts";
import { clipTime } from "../../../src/trials/clipTime.ts";
import { readPastedTimes } from "../../../src/trials/readTime.ts";
import { trialWithSameClip } from "../../../src/trials/sameClip.ts";
import { clipTimeText } from "../../../src/trials/shownTime.ts";
import { setTimes } from "../../commands/trials/setTimes.ts";
import type { Shell } from "../../shell/Shell.ts";
import type { ClipWatch } from "../../store/clips.ts";
import type { Session } from "../../store/session.ts";
import { sentenceOf, tryCommand } from "../shared/tryCommand.ts";
import { type SheetActions, TimesRow } from "./TimesRow.tsx";
import { useVerdicts } from "./useVerdicts.ts";

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
  const rows = useMemo(() => study.trials.slice().sort((a, b) => a.order - b.order), [study.trials]);
  const skaters = useMemo(() => skaterLabels(study, "names"), [study]);
  const techniques = useMemo(() => techniqueLabels(study), [study]);
  const sameFilms = useMemo(() => new Map(rows.map((t) => [t.id, sameFilm(study, t.id)])), [study, rows]);
  const names = useMemo(() => new Map(study.clips.map((c) => [c.id, c.name])), [study.clips]);
  const byClip = useMemo(() => new Map(rows.map((t) => [t.id, clipTimeOf(whole, t)])), [whole, rows]);
  const verdicts = useVerdicts(whole, rows);
  const inputs = useRef(new Map<string, HTMLInputElement>());
  const [over, setOver] = useState<string | null>(null);

  const acts: SheetActions = {
    setOver,
    onDrop,
    hold(trial, input) {
      if (input) inputs.current.set(trial, input);
      else inputs.current.delete(trial);
    },
    go(trial, by) {
      const next = inputs.current.get(rows[rows.findIndex((t) => t.id === trial) + by]?.id ?? "");
      next?.focus();
      next?.select();
    },
    paste(trial, text) {
      let refused: string | null = null;
      const unreadable = sentenceOf(() => {
        const times = readPastedTimes(text);
        if (times === null) onTable(text);
        else refused = tryCommand(session, setTimes, { from: trial, times });
      });
      return unreadable ?? refused;
    },
  };
  // The same for all rows and at all times, so that a row is drawn again only for what it shows.
  const latest = useRef(acts);
  latest.current = acts;
  const [steady] = useState<SheetActions>(() => ({
    setOver: (trial) => latest.current.setOver(trial),
    onDrop: (files, trial) => latest.current.onDrop(files, trial),
    hold: (trial, input) => latest.current.hold(trial, input),
    go: (trial, by) => latest.current.go(trial, by),
    paste: (trial, text) => latest.current.paste(trial, text),
  }));

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
          {rows.map((trial) => (
            <TimesRow
              key={trial.id}
              session={session}
              shell={shell}
              clips={clips}
              trial={trial}
              rows={rows}
              acts={steady}
              skater={skaters.get(trial.skater) ?? trial.skater}
              technique={techniques.get(trial.technique) ?? trial.technique}
              clipName={names.get(trial.clip ?? "") ?? null}
              sameAs={sameFilms.get(trial.id) ?? null}
              doubt={doubts.get(trial.id) ?? null}
              clipTime={byClip.get(trial.id)?.text ?? null}
              clipTimeWhy={byClip.get(trial.id)?.why ?? null}
              verdict={verdicts.get(trial.id) ?? null}
              over={over === trial.id}
            />
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What a trial without a photocell time is timed to by its clip. */
function clipTimeOf(whole: WholeStudy, trial: Trial): { text: string | null; why: string | null } | null {
  if (trial.time !== null) return null;
  const found = clipTime(whole, trial);
  return found.value === null
    ? { text: null, why: found.why }
    : { text: clipTimeText(found.value, found.sd), why: null };
}

function sameFilm(study: Study, trial: string): string | null {
  const other = trialWithSameClip(study, trial);
  return other === null ? null : trialLabel(study, other);
}
