import { type DragEvent, memo, useCallback } from "react";
import { useStore } from "zustand";
import type { Trial } from "../../../src/study/types.ts";
import { setTime } from "../../commands/trials/setTime.ts";
import type { Shell } from "../../shell/Shell.ts";
import { type ClipWatch, clipState } from "../../store/clips.ts";
import type { Session } from "../../store/session.ts";
import { AsAskedChip } from "../shared/AsAskedChip.tsx";
import { ClipLinkCare } from "../shared/ClipLinkCare.tsx";
import { tryCommand } from "../shared/tryCommand.ts";
import { ClipCell } from "./ClipCell.tsx";
import { ClipSaid, clipSentences } from "./ClipSaid.tsx";
import { ClipTimeBeside } from "./ClipTimeBeside.tsx";
import { ClockBeside } from "./ClockBeside.tsx";
import { FurtherClips } from "./FurtherClips.tsx";
import { NoteCell } from "./NoteCell.tsx";
import { PairingSaid } from "./PairingSaid.tsx";
import { TimeCell } from "./TimeCell.tsx";
import { TrialMenu } from "./TrialMenu.tsx";
import type { Verdict } from "./useVerdicts.ts";

/** What a row asks the sheet to do; each names its trial. */
export interface SheetActions {
  /** Files are held over this row; null = over none. */
  readonly setOver: (trial: string | null) => void;
  readonly onDrop: (files: readonly File[], trial: string) => void;
  readonly hold: (trial: string, input: HTMLInputElement | null) => void;
  /** To the time so many rows below. */
  readonly go: (trial: string, by: 1 | -1) => void;
  /** Returns why it was refused; null = done. */
  readonly paste: (trial: string, text: string) => string | null;
}

interface TimesRowProps {
  readonly session: Session;
  readonly shell: Shell;
  readonly clips: ClipWatch;
  readonly trial: Trial;
  /** All trials in run order. */
  readonly rows: readonly Trial[];
  readonly skater: string;
  readonly technique: string;
  /** File name of the linked clip; null = none. */
  readonly clipName: string | null;
  /** The trial that has the same film; null = none. */
  readonly sameAs: string | null;
  /** Question about the time. */
  readonly doubt: string | null;
  /** By its clip, "4.383 ± 0.027", or why there is none; both null where that is not asked. */
  readonly clipTime: string | null;
  readonly clipTimeWhy: string | null;
  /** null = not worked out yet. */
  readonly verdict: Verdict | null;
  /** Files are held over it. */
  readonly over: boolean;
  readonly acts: SheetActions;
}

/** One trial of the run order. Drawn again only when something it shows has changed: there can be very many. */
export const TimesRow = memo((props: TimesRowProps) => {
  const { session, shell, clips, trial, rows, skater, technique, verdict, acts } = props;
  const state = useStore(clips.state, (all) => clipState(all, trial.clip ?? null));
  const hold = useCallback((input: HTMLInputElement | null) => acts.hold(trial.id, input), [acts, trial.id]);
  const label = `${skater}, ${technique}, trial ${trial.repeat}`;
  const said = trial.clip === undefined ? [] : clipSentences(state, props.sameAs, verdict?.pairing ?? null);
  const index = trial.clip !== undefined && state.index?.link.state !== "as-it-was" ? state.index : null;
  const isSaid = said.length > 0 || index !== null;
  const saidId = `clip-said-${trial.id}`;
  const both = {
    "data-void": !trial.valid || undefined,
    "data-over": props.over || undefined,
    onDragOver: (e: DragEvent) => {
      e.preventDefault();
      acts.setOver(trial.id);
    },
    onDragLeave: () => acts.setOver(null),
    onDrop: (e: DragEvent) => {
      e.preventDefault();
      e.stopPropagation();
      acts.setOver(null);
      acts.onDrop([...e.dataTransfer.files], trial.id);
    },
  };
  return (
    <>
      <tr {...both} aria-describedby={isSaid ? saidId : undefined}>
        <td className="right number quiet">{trial.order}</td>
        <td className="times-skater">{skater}</td>
        <td className="times-technique">{technique}</td>
        <td className="right number">{trial.repeat}</td>
        <td className="times-time">
          <TimeCell
            label={`Time of ${label}, seconds`}
            time={trial.time}
            doubt={props.doubt}
            hold={hold}
            onType={(text) => tryCommand(session, setTime, { trial: trial.id, text })}
            onPaste={(text) => acts.paste(trial.id, text)}
            onGo={(by) => acts.go(trial.id, by)}
          />
          {!trial.valid && <span className="chip times-void">void</span>}
          <ClipTimeBeside {...{ session, trial, label }} text={props.clipTime} why={props.clipTimeWhy} />
          <ClockBeside session={session} shell={shell} clips={clips} trial={trial} label={label} />
        </td>
        <td>
          <ClipCell
            session={session}
            shell={shell}
            clips={clips}
            trial={trial}
            state={state}
            label={label}
            name={props.clipName}
          >
            {verdict && <PairingSaid said={verdict.pairing} />}
          </ClipCell>
          {trial.clips && <FurtherClips session={session} shell={shell} trial={trial} label={label} />}
        </td>
        <td>
          {trial.clip !== undefined &&
            (verdict === null ? (
              <span className="quiet" title="Being worked out from the marks">
                …
              </span>
            ) : (
              verdict.asked && <AsAskedChip asked={verdict.asked} />
            ))}
        </td>
        <td>
          <NoteCell session={session} trial={trial} label={label} />
        </td>
        <td className="right">
          <TrialMenu session={session} shell={shell} trial={trial} rows={rows} label={label} />
        </td>
      </tr>
      {isSaid && (
        <tr {...both} className="times-said-row">
          <ClipSaid sentences={said} id={saidId}>
            {index && <ClipLinkCare session={session} shell={shell} clips={clips} index={index} />}
          </ClipSaid>
        </tr>
      )}
    </>
  );
});
