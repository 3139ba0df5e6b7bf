import { Button } from "@mantine/core";
import { type KeyboardEvent, useCallback, useMemo, useRef, useState } from "react";
import { MeasureError } from "../../src/errors.ts";
import { isContact, type Moment, sinceWords, writeMoment } from "../../src/report/film/moment.ts";
import { type FilmSteps, planFilm } from "../../src/report/film/planFilm.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { Names } from "../../src/study/labels.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { formatNumber } from "../../src/uncertainty/format.ts";
import type { Shell } from "../shell/Shell.ts";
import type { ClipState } from "../store/clips.ts";
import { wholeReading } from "../store/readings.ts";
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
  return (
    <Ready
      key={clips.join(" ")}
      whole={whole}
      shell={shell}
      trials={trials}
      moment={moment}
      slow={slow}
      names={names}
      indexes={indexes}
    />
  );
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
      const counted = countedReadings(whole, (trial) => wholeReading(whole, trial));
      return planFilm(whole, { trials, moment, slow, rate: FINE / slow, names }, timesOf, counted);
    } catch (error) {
      if (error instanceof MeasureError) return error;
      throw error;
    }
  }, [whole, trials, moment, slow, names, indexes]);
  // Real seconds after the moment; null: at the frames picked for it.
  const [seconds, setSeconds] = useState<number | null>(null);
  const exact = useRef(false);
  const onExact = useCallback((is: boolean) => {
    exact.current = is;
  }, []);
  const playOn = (by: number) => {
    if (plan instanceof MeasureError) return false;
    const { steps } = plan;
    const [to, end] = [(seconds ?? steps.secondsAt(steps.zero)) + by / FINE, steps.secondsAt(steps.last)];
    setSeconds(Math.min(to, end));
    return to < end;
  };
  const [playing, setPlaying] = usePlaying(FINE / slow, exact, playOn);
  if (plan instanceof MeasureError) return <p className="empty">{plan.coach}</p>;
  const { steps } = plan;
  const k = inside(steps, seconds === null ? steps.zero : steps.nearest(seconds));
  const go = (to: number) => setSeconds(to === steps.zero ? null : steps.secondsAt(inside(steps, to)));
  const onKey = (e: KeyboardEvent) => {
    const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[e.key];
    if (by === undefined) return;
    e.preventDefault();
    setPlaying(false);
    go(stepped(steps, k, by as 1 | -1, e.shiftKey ? FAR : 1));
  };
  const since = `${formatNumber(steps.clock(k), 3)} s`;
  return (
    <>
      <FilmStage plan={plan} indexes={indexes} shell={shell} onExact={onExact} seconds={steps.secondsAt(k)} />
      <div className="film-bar">
        <Button
          variant="default"
          onClick={() => {
            if (!playing && k === steps.last) go(steps.first);
            setPlaying(!playing);
          }}
        >
          {playing ? "Pause" : "Play"}
        </Button>
        <input
          type="range"
          className="film-scrubber"
          aria-label={`Time ${sinceWords(moment)}`}
          aria-valuetext={since}
          min={steps.first}
          max={steps.last}
          value={k}
          onKeyDown={onKey}
          onChange={(e) => {
            setPlaying(false);
            go(Number(e.currentTarget.value));
          }}
        />
        <output className="number film-time">{since}</output>
        <Button variant="default" disabled={k === steps.zero} onClick={() => go(steps.zero)}>
          {`To ${plan.name}`}
        </Button>
      </div>
      <div className="film-last">
        <p className="quiet film-clock">{clockWords(moment, trials.length, steps.clip)}</p>
        <SaveFilm
          key={`${trials} ${writeMoment(moment)} ${slow} ${names}`}
          shell={shell}
          order={{ trials, moment: writeMoment(moment), slow, names }}
        />
      </div>
    </>
  );
}

/** Why the picked frame is not at 0, and why the other picture's time is another. */
function clockWords(moment: Moment, clips: number, clip: number): string {
  const from = isContact(moment)
    ? "The contact itself is at 0: half a frame beside the frame picked for it."
    : "The frame picked for the event is at 0.";
  if (clips < 2) return from;
  return `${from} Under each picture stands its own frame's time; the clock here is that of the picture on the ${clip === 0 ? "left" : "right"}.`;
}

function inside({ first, last }: FilmSteps, k: number): number {
  return Math.min(Math.max(k, first), last);
}

/** So many frames of the leading clip further; frames shown at one and the same time count as one. */
function stepped(steps: FilmSteps, from: number, by: 1 | -1, frames: number): number {
  let k = from;
  for (let left = frames; left > 0 && k >= steps.first && k <= steps.last; left--) {
    const seconds = steps.secondsAt(k);
    do k += by;
    while (k > steps.first && k < steps.last && steps.secondsAt(k) === seconds);
  }
  return k;
}
