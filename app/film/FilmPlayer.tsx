import { Button } from "@mantine/core";
import { type KeyboardEvent, useCallback, useMemo, useRef, useState } from "react";
import { MeasureError } from "../../src/errors.ts";
import { type Moment, momentWords, writeMoment } from "../../src/report/film/moment.ts";
import { type FilmPlan, planFilm } from "../../src/report/film/planFilm.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { Names } from "../../src/study/labels.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { formatNumber } from "../../src/uncertainty/format.ts";
import type { Shell } from "../shell/Shell.ts";
import type { ClipState } from "../store/clips.ts";
import { trialReading } from "../store/readings.ts";
import { FilmStage } from "./FilmStage.tsx";
import { SaveFilm } from "./SaveFilm.tsx";
import { useFilmClips } from "./useFilmClips.ts";
import { usePlaying } from "./usePlaying.ts";

interface Props {
  readonly whole: WholeStudy;
  readonly shell: Shell;
  readonly trials: readonly string[];
  readonly moment: Moment;
  readonly slow: number;
  readonly names: Names;
}

/** Instants a second of life: in the window one moves as finely as a camera of 240 frames a second films. */
const FINE = 240;
const FAR = 10;

/** The film with its one scrubber. */
export function FilmPlayer({ whole, shell, trials, moment, slow, names }: Props) {
  const clips = trials.map((id) => whole.study.trials.find((t) => t.id === id)?.clip ?? "");
  const states = useFilmClips(shell, clips);
  const indexes = useSame(states.flatMap(({ index }) => (index?.state === "ready" ? [index] : [])));
  if (indexes.length < clips.length) return <NotReady states={states} />;
  return <Ready key={clips.join(" ")} {...{ whole, shell, trials, moment, slow, names, indexes }} />;
}

/** The list of before while it holds the same. */
function useSame<T>(list: readonly T[]): readonly T[] {
  const kept = useRef(list);
  if (list.length !== kept.current.length || list.some((item, k) => item !== kept.current[k]))
    kept.current = list;
  return kept.current;
}

function NotReady({ states }: { readonly states: readonly ClipState[] }) {
  const wrong = states
    .map(({ index, error }) => error ?? (index?.state === "failed" ? index.failure : null))
    .find((w) => w);
  const going = states.find(({ index }) => index && index.state !== "ready")?.index;
  const { done = 0, of = 0 } = going?.progress ?? {};
  return (
    <p className="empty" role="status">
      {wrong ?? (of > 0 ? `Preparing the clips: ${done} of ${of} frames` : "Preparing the clips …")}
    </p>
  );
}

function Ready(props: Props & { readonly indexes: readonly ClipIndex[] }) {
  const { whole, shell, trials, moment, slow, names, indexes } = props;
  const plan = useMemo(() => {
    const timesOf = ({ clip }: { readonly clip?: string }) => {
      const { times, part } = indexes.find((index) => index.clip === clip)!;
      return { times, part };
    };
    try {
      const counted = countedReadings(whole, (trial) => trialReading(whole, trial));
      return planFilm(whole, { trials, moment, slow, rate: FINE / slow, names }, timesOf, counted);
    } catch (error) {
      if (error instanceof MeasureError) return error;
      throw error;
    }
  }, [whole, trials, moment, slow, names, indexes]);
  const [seconds, setSeconds] = useState(0);
  const exact = useRef(false);
  const onExact = useCallback((is: boolean) => {
    exact.current = is;
  }, []);
  const j = plan instanceof MeasureError ? 0 : instantAt(plan, seconds);
  const go = (to: number) => {
    if (plan instanceof MeasureError) return false;
    const kept = Math.min(Math.max(to, 0), plan.count - 1);
    setSeconds(plan.secondsAt(kept) - plan.secondsAt(plan.zero));
    return kept === to;
  };
  const [playing, setPlaying] = usePlaying(FINE / slow, exact, (by) => go(j + by));
  if (plan instanceof MeasureError) return <p className="empty">{plan.coach}</p>;
  const onKey = (e: KeyboardEvent) => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[e.key];
    if (by === undefined) return;
    e.preventDefault();
    setPlaying(false);
    go(changedFrom(plan, j, by as 1 | -1, e.shiftKey ? FAR : 1));
  };
  const since = `${formatNumber(plan.secondsAt(j) - plan.secondsAt(plan.zero), 3)} s`;
  return (
    <>
      <FilmStage {...{ plan, indexes, j, shell, onExact }} />
      <div className="film-bar">
        <Button
          variant="default"
          onClick={() => {
            if (!playing && j === plan.count - 1) go(0);
            setPlaying(!playing);
          }}
        >
          {playing ? "Pause" : "Play"}
        </Button>
        <input
          type="range"
          className="film-scrubber"
          aria-label={`Time about ${momentWords(moment)}`}
          aria-valuetext={since}
          min={0}
          max={plan.count - 1}
          value={j}
          onKeyDown={onKey}
          onChange={(e) => {
            setPlaying(false);
            go(Number(e.currentTarget.value));
          }}
        />
        <output className="number film-time">{since}</output>
        <Button variant="default" disabled={j === plan.zero} onClick={() => go(plan.zero)}>
          {`To ${momentWords(moment)}`}
        </Button>
      </div>
      <SaveFilm
        key={`${trials} ${writeMoment(moment)} ${slow} ${names}`}
        shell={shell}
        order={{ trials, moment: writeMoment(moment), slow, names }}
      />
    </>
  );
}

function instantAt(plan: FilmPlan, seconds: number): number {
  const step = plan.secondsAt(1) - plan.secondsAt(0);
  return Math.min(Math.max(plan.zero + Math.round(seconds / step), 0), plan.count - 1);
}

/** The instant at which a clip has shown `frames` other frames. */
function changedFrom(plan: FilmPlan, from: number, by: 1 | -1, frames: number): number {
  let j = from;
  for (let left = frames; left > 0; left--) {
    const shown = plan.clips.map((_, c) => plan.frameOf(c, j));
    do j += by;
    while (j > 0 && j < plan.count - 1 && shown.every((frame, c) => plan.frameOf(c, j) === frame));
  }
  return j;
}
