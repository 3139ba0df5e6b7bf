import { useState } from "react";
import { useStore } from "zustand";
import { clockOf } from "../../../src/study/trialViews.ts";
import type { Trial } from "../../../src/study/types.ts";
import { clockQuestion } from "../../../src/trials/clockQuestion.ts";
import { timeText } from "../../../src/trials/readTime.ts";
import type { Shell } from "../../shell/Shell.ts";
import { type ClipWatch, clipState } from "../../store/clips.ts";
import type { Session } from "../../store/session.ts";
import { ClockDialog } from "./ClockDialog.tsx";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly clips: ClipWatch;
  readonly trial: Trial;
  readonly label: string;
}

/** Beside a typed time: the frame of the display, what it shows, and a question where the two differ. */
export function ClockBeside({ session, shell, clips, trial, label }: Props) {
  const [open, setOpen] = useState(false);
  const clock = clockOf(trial);
  const ready = useStore(clips.state, (all) => clipState(all, clock?.clip ?? null).index?.ready ?? 0);
  if (!clock) return null;
  const { study } = session.getState().whole;
  const name = study.clips.find((c) => c.id === clock.clip)?.name ?? clock.clip;
  const question = clockQuestion(trial);
  return (
    <div className="clock-beside">
      <button
        type="button"
        className="plain-button clock-open"
        aria-label={`The clock of ${label}`}
        onClick={() => setOpen(true)}
      >
        {clock.frame !== undefined && clock.frame < ready && (
          <img className="clock-small" src={shell.frameUrl(clock.clip, clock.frame)} alt="" loading="lazy" />
        )}
        <span>{clock.shows === undefined ? "read the clock" : `display ${timeText(clock.shows)}`}</span>
      </button>
      {question && (
        <p className="care times-said" role="note">
          {question}
        </p>
      )}
      {open && (
        <ClockDialog {...{ session, shell, trial, clip: clock, name }} onClose={() => setOpen(false)} />
      )}
    </div>
  );
}
