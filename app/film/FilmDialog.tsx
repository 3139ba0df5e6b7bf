import { Checkbox, Modal, NativeSelect } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import { sharedMoments, usualMoment, writeMoment } from "../../src/report/film/moment.ts";
import { momentName } from "../../src/report/film/momentStride.ts";
import { nearestMean } from "../../src/report/film/subjects.ts";
import { filmableTrials, whyNotFilmable } from "../../src/report/film/usualPair.ts";
import { trialLabel } from "../../src/study/labels.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import type { Shell } from "../shell/Shell.ts";
import { wholeReading } from "../store/readings.ts";
import type { Session } from "../store/session.ts";
import { FilmPlayer } from "./FilmPlayer.tsx";
import "./film.css";

export interface FilmDialogProps {
  readonly session: Session;
  readonly shell: Shell;
  /** What to begin with: one trial, or two side by side. */
  readonly trials: readonly string[];
  readonly onClose: () => void;
}

const SPEEDS = [
  { value: "1", label: "at real speed" },
  { value: "2", label: "at half speed" },
  { value: "4", label: "at a quarter of the speed" },
  { value: "8", label: "at an eighth of the speed" },
];

/** One trial's clip or two side by side, lined up and at the same scale, with the numbers; and saving that as a file. */
export function FilmDialog({ session, shell, trials: first, onClose }: FilmDialogProps) {
  const whole = useStore(session, (s) => s.whole);
  const able = useMemo(() => filmableTrials(whole), [whole]);
  const [chosen, setChosen] = useState(first);
  const [wanted, setWanted] = useState<string | null>(null);
  const [slow, setSlow] = useState(4);
  const [codes, setCodes] = useState(false);
  const trials = useMemo(() => chosen.filter((id) => able.some((t) => t.id === id)), [chosen, able]);
  const marked = trials.map((id) => whole.marks[id]!);
  const moments = useMemo(() => momentsOf(whole, trials), [whole, trials]);
  const usual = useMemo(() => usualOf(whole, trials), [whole, trials]);
  const moment = moments.find((m) => writeMoment(m) === wanted) ?? usual;
  const names = codes ? "codes" : "names";
  const choices = whole.study.trials.map(({ id }) => {
    const [label, why] = [trialLabel(whole.study, id, names), whyNotFilmable(whole, id)];
    return why === null ? { value: id, label } : { value: id, label: `${label} (${why})`, disabled: true };
  });
  const choose = (c: number, id: string) =>
    setChosen(id === "" ? trials.slice(0, 1) : Object.assign([...trials], { [c]: id }));
  return (
    <Modal
      opened
      onClose={onClose}
      title={trials.length > 1 ? "Side by side" : "Clip with numbers"}
      size="min(1180px, 96vw)"
      padding="md"
      yOffset="2dvh"
    >
      <div className="film-choices">
        <NativeSelect
          aria-label="Trial on the left"
          value={trials[0] ?? ""}
          data={choices}
          onChange={(e) => choose(0, e.currentTarget.value)}
        />
        <NativeSelect
          aria-label="Trial on the right"
          value={trials[1] ?? ""}
          data={[{ value: "", label: "no second trial" }, ...choices]}
          onChange={(e) => choose(1, e.currentTarget.value)}
        />
        <NativeSelect
          aria-label={trials.length > 1 ? "Lined up on" : "Time counts from"}
          value={moment ? writeMoment(moment) : ""}
          data={moments.map((m) => ({
            value: writeMoment(m),
            label: `${trials.length > 1 ? "lined up on" : "time from"} ${momentName(m, marked)}`,
          }))}
          onChange={(e) => setWanted(e.currentTarget.value)}
        />
        <NativeSelect
          aria-label="Speed"
          value={String(slow)}
          data={SPEEDS}
          onChange={(e) => setSlow(Number(e.currentTarget.value))}
        />
        <Checkbox
          label="codes instead of names"
          checked={codes}
          onChange={(e) => setCodes(e.currentTarget.checked)}
        />
      </div>
      {trials.length > 1 && trials[0] === trials[1] && (
        <p role="status" className="film-same">
          Both sides show the same trial. Choose another on one of them.
        </p>
      )}
      {trials.length === 0 ? (
        <p className="empty">No trial has a clip with marked events yet. Mark blade-offs in Measure first.</p>
      ) : !moment ? (
        <p className="empty">These two trials have no marked event in common, so they can't be lined up.</p>
      ) : (
        <FilmPlayer whole={whole} shell={shell} trials={trials} moment={moment} slow={slow} names={names} />
      )}
    </Modal>
  );
}

function momentsOf({ study, marks }: WholeStudy, trials: readonly string[]) {
  return trials.length === 0
    ? []
    : sharedMoments(
        trials.map((t) => marks[t]!),
        study.lane,
      );
}

/** The stride nearest the mean, where the trials are measured. */
function usualOf(whole: WholeStudy, trials: readonly string[]) {
  if (trials.length === 0) return null;
  const { study } = whole;
  const shown = trials.flatMap((id) => {
    const trial = study.trials.find((t) => t.id === id);
    return trial ? [{ trial, marks: whole.marks[id]! }] : [];
  });
  const nearest = nearestMean(study, shown, (trial) => wholeReading(whole, trial));
  return (
    nearest ??
    usualMoment(
      shown.map((s) => s.marks),
      study.lane,
    )
  );
}
