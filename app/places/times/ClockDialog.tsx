import { Button, Modal } from "@mantine/core";
import { useEffect, useState } from "react";
import type { ClipIndex } from "../../../src/study/exchange.ts";
import type { Trial, TrialClip } from "../../../src/study/types.ts";
import { timeText } from "../../../src/trials/readTime.ts";
import { readClock } from "../../commands/clips/readClock.ts";
import { onlySilent } from "../../shell/onlySilent.ts";
import { type Shell, ShellError } from "../../shell/Shell.ts";
import type { Session } from "../../store/session.ts";
import { tryCommand } from "../shared/tryCommand.ts";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly trial: Trial;
  readonly clip: TrialClip;
  readonly name: string;
  readonly onClose: () => void;
}

const ASK_AGAIN_MS = 500;

/** The timing display's clip, frame by frame: which frame shows the stopped time, and what the eye reads there. */
export function ClockDialog({ session, shell, trial, clip, name, onClose }: Props) {
  const index = useIndex(shell, clip.clip);
  const ready = index?.ready ?? 0;
  const [chosen, setChosen] = useState<number | null>(clip.frame ?? null);
  const [text, setText] = useState(clip.shows === undefined ? "" : timeText(clip.shows));
  const [refused, setRefused] = useState<string | null>(null);
  const last = Math.max(0, ready - 1);
  // The display stands still at the end.
  const frame = Math.min(last, chosen ?? last);
  return (
    <Modal opened onClose={onClose} size="xl" title={`The clock: ${name}`}>
      {ready === 0 ? (
        <p className="quiet" role="status">
          Its first frames are being prepared …
        </p>
      ) : (
        <>
          <img
            className="clock-frame"
            src={shell.frameUrl(clip.clip, frame)}
            alt={`Frame ${frame} of ${name}`}
            data-frame={frame}
          />
          <label className="clock-slider">
            Frame <span className="number">{frame}</span> of {last}
            <input
              type="range"
              min={0}
              max={last}
              value={frame}
              aria-label="Frame of the clock"
              onChange={(e) => setChosen(Number(e.currentTarget.value))}
            />
          </label>
        </>
      )}
      <label className="clock-reads">
        The display shows, s
        <input
          className="time-input number"
          inputMode="decimal"
          autoComplete="off"
          aria-label="The display shows, seconds"
          value={text}
          onChange={(e) => setText(e.currentTarget.value)}
        />
      </label>
      <p className="quiet modal-words">
        Read it with your own eyes. The frame is kept as proof; the time typed in the sheet
        {trial.time === null ? "" : ` (${timeText(trial.time)} s)`} is not changed by it.
      </p>
      {refused && (
        <p className="bad" role="alert">
          {refused}
        </p>
      )}
      <div className="modal-actions">
        <Button variant="default" onClick={onClose}>
          Cancel
        </Button>
        <Button
          disabled={ready === 0}
          onClick={() => {
            const why = tryCommand(session, readClock, { trial: trial.id, clip: clip.clip, frame, text });
            setRefused(why);
            if (why === null) onClose();
          }}
        >
          Keep this frame
        </Button>
      </div>
    </Modal>
  );
}

/** How far a clip is, asked again until all of it is there. */
function useIndex(shell: Shell, clip: string): ClipIndex | null {
  const [index, setIndex] = useState<ClipIndex | null>(null);
  useEffect(() => {
    let stopped = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const ask = async () => {
      try {
        const found = await shell.clipIndex(clip);
        if (stopped) return;
        setIndex(found);
        if (found.state === "ready" || found.state === "failed") return;
      } catch (error) {
        if (!(error instanceof ShellError)) throw error;
      }
      if (!stopped) timer = setTimeout(() => void ask(), ASK_AGAIN_MS);
    };
    // Prepared before the others, as somebody waits for it.
    void shell.wantFrame(clip, 0).catch(onlySilent);
    void ask();
    return () => {
      stopped = true;
      clearTimeout(timer);
    };
  }, [shell, clip]);
  return index;
}
