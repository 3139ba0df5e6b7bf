import { Tooltip } from "@mantine/core";
import { type ReactNode, useRef } from "react";
import type { Trial } from "../../../src/study/types.ts";
import type { Shell } from "../../shell/Shell.ts";
import type { ClipState, ClipWatch } from "../../store/clips.ts";
import { preparedShare, progressWords, queueWords } from "../../store/clipWords.ts";
import { goToPlace, goToTrial, type Session } from "../../store/session.ts";
import { speedText } from "../../store/time.ts";
import { addClipTo } from "../../store/uploads.ts";

interface ClipCellProps {
  readonly session: Session;
  readonly shell: Shell;
  readonly clips: ClipWatch;
  readonly trial: Trial;
  /** File name of the linked clip; null = none. */
  readonly name: string | null;
  readonly state: ClipState;
  readonly label: string;
  /** What its time says of it, beside how far it is. */
  readonly children?: ReactNode;
}

/** The trial's clip and how far it is, or the way to add one. */
export function ClipCell({ session, shell, clips, trial, name, state, label, children }: ClipCellProps) {
  const input = useRef<HTMLInputElement>(null);
  if (trial.clip === undefined) {
    return (
      <>
        <button type="button" className="plain-button" onClick={() => input.current?.click()}>
          Add clip
        </button>
        <input
          ref={input}
          type="file"
          accept="video/*,.mp4,.mov,.avi,.mkv,.mts,.m2ts,.webm"
          hidden
          aria-label={`Clip of ${label}`}
          onChange={(e) => {
            const [file] = e.currentTarget.files ?? [];
            if (file) addClipTo(session, shell, file, trial.id);
            e.currentTarget.value = "";
          }}
        />
      </>
    );
  }
  const clip = trial.clip;
  const { tone, text, detail } = words(state);
  const slower = speedText(trial.speedFactor);
  const failed = hasFailed(state);
  return (
    <div className="clip-cell">
      <button
        type="button"
        className="plain-button clip-name"
        onClick={() => {
          goToTrial(session, trial.id);
          goToPlace(session, "measure");
        }}
      >
        {name ?? clip}
      </button>
      {slower && <span className="care clip-state">{slower}</span>}
      {text !== "" && (
        <Tooltip label={detail} disabled={detail === ""}>
          <span className={`${tone} clip-state`} tabIndex={detail === "" ? undefined : 0}>
            {text}
          </span>
        </Tooltip>
      )}
      {children}
      {failed && (
        <button
          type="button"
          className="plain-button"
          onClick={() => void clips.prepare(clip).catch(() => clips.watch(clip))}
        >
          {state.index?.state === "stopped" ? "Go on" : "Try again"}
        </button>
      )}
    </div>
  );
}

function hasFailed({ index, error }: ClipState): boolean {
  return error !== null || index?.state === "failed" || (index?.state === "stopped" && !index.asksPart);
}

/** Why a clip can't be used; null = it can. It is read, not hovered for. */
export function failureWords(state: ClipState): { readonly tone: string; readonly text: string } | null {
  const { tone, detail } = words(state);
  return hasFailed(state) && detail !== "" ? { tone, text: detail } : null;
}

/** "The same film as Aino, close recovery, trial 1 …" */
export function sameFilmWords(other: string): string {
  return `The same film as ${other}. One film shows one run: take it off the trial it does not show, or choose the part of each.`;
}

function words({ index, error }: ClipState): { tone: string; text: string; detail: string } {
  if (error !== null) return { tone: "bad", text: "can’t be read", detail: error };
  if (!index) return { tone: "quiet", text: "", detail: "" };
  const odd = index.warnings.map((w) => w.text).join(" ");
  switch (index.state) {
    case "failed": {
      const { done } = index.progress;
      const usable = done > 0 ? ` The ${done} frames prepared so far can be used.` : "";
      return { tone: "bad", text: "can’t be read", detail: (index.failure ?? "") + usable };
    }
    case "waiting":
      return { tone: "quiet", text: "waiting", detail: `${queueWords(index)}.` };
    case "preparing": {
      const share = Math.min(99, Math.floor(100 * preparedShare(index)));
      const detail = `${progressWords(index)}. Frames that are ready can be marked already.`;
      return { tone: "quiet", text: `preparing ${share} %`, detail };
    }
    case "stopped":
      if (index.asksPart)
        return {
          tone: "care",
          text: "choose its part",
          detail:
            "A long film: nothing of it is prepared until its part is chosen. Press its name; Measure shows it in pictures.",
        };
      return {
        tone: "care",
        text: "stopped",
        detail: index.note ?? "Preparing was stopped; the frames so far can be marked.",
      };
    case "ready":
      // Left and right may be exchanged in every number: not for hovering only.
      if (index.warnings.some((w) => w.code === "mirrored"))
        return { tone: "bad", text: `${index.progress.done} frames, mirrored`, detail: odd };
      return odd === ""
        ? { tone: "good", text: `${index.progress.done} frames`, detail: "" }
        : { tone: "care", text: `${index.progress.done} frames, odd`, detail: odd };
  }
}
