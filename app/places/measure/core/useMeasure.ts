import { useEffect, useMemo, useRef } from "react";
import { useStore } from "zustand";
import type { ClipIndex, ClipPart } from "../../../../src/study/exchange.ts";
import { viewWithId } from "../../../../src/study/trialViews.ts";
import type { MarkedPicture, Trial, TrialMarks, WholeStudy } from "../../../../src/study/types.ts";
import { scaleReference } from "../../../../src/trials/scaleReference.ts";
import { type Aim, createAim } from "../../../picture/aim.ts";
import { onlySilent } from "../../../shell/onlySilent.ts";
import type { Shell } from "../../../shell/Shell.ts";
import { firstFrame, knownEnd } from "../../../store/clipFrames.ts";
import { type ClipState, type ClipWatch, clipState, startClipWatch } from "../../../store/clips.ts";
import type { Session } from "../../../store/session.ts";
import { markedPicture } from "../../../store/time.ts";
import { isUnchecked } from "../scale/scaleHere.ts";
import { createMeasureState, FRESH, type MeasureStore } from "./measureState.ts";
import { trialMarks } from "./trialView.ts";

/** Everything the parts of the Measure place share. */
export interface Measuring {
  readonly session: Session;
  readonly shell: Shell;
  readonly ui: MeasureStore;
  readonly clips: ClipWatch;
  readonly aim: Aim;
  readonly whole: WholeStudy;
  readonly trial: Trial;
  readonly marks: TrialMarks;
  readonly clip: ClipState;
  readonly index: ClipIndex | null;
  readonly picture: MarkedPicture | null;
  readonly readOnly: boolean;
  /** The frame the canvas really holds; outside the state, because nothing is drawn from it. */
  readonly onScreen: OnScreen;
}

export interface OnScreen {
  current: {
    readonly clip: string;
    /** null while there is none. */
    readonly frame: number | null;
    /** The frame that is wanted cannot be shown. */
    readonly failed: boolean;
  } | null;
}

const PART_EVERY_MS = 250;

/** null: the study has no trial yet. */
export function useMeasure(session: Session, shell: Shell): Measuring | null {
  const ui = useMemo(createMeasureState, []);
  const clips = useMemo(() => startClipWatch(shell), [shell]);
  const aim = useMemo(createAim, []);
  const onScreen = useRef<OnScreen["current"]>(null);
  const whole = useStore(session, (s) => s.whole);
  const trialId = useStore(session, (s) => s.trial);
  const readOnly = useStore(session, (s) => s.readOnly);
  const { study } = whole;
  const trial = useMemo(() => viewWithId(study, trialId) ?? study.trials[0], [study, trialId]);
  const clipId = trial?.clip ?? null;
  const clip = useStore(clips.state, (all) => clipState(all, clipId));
  const marks = trial && trialMarks(whole, trial.id);

  useEffect(() => () => clips.stop(), [clips]);
  useEffect(() => {
    if (clipId === null) return;
    clips.watch(clipId);
    clips.want(clipId, session.getState().frame).catch(onlySilent);
  }, [clips, session, clipId]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a freshly opened trial starts with its own next thing
  useEffect(() => {
    const reference = marks?.iceReference;
    const checked = trial && scaleReference(whole, trial.id) !== null && !isUnchecked(whole, trial.id);
    const begun = checked || (!reference && (marks?.events.length ?? 0) > 0);
    ui.setState({ ...FRESH, task: begun ? "strides" : "scale" });
  }, [ui, trial?.id]);

  const link = whole.study.clips.find((c) => c.id === clipId);
  // Frames turned otherwise than the study says are none to show, nor to mark on.
  const index = clip.index && clip.index.turn === (link?.turn ?? 0) ? clip.index : null;
  const follows = clip.index === null || (index !== null && samePart(index.part, link?.part ?? null));
  // The host knows of another part or turn once the study is saved.
  useEffect(() => {
    if (clipId === null || follows || readOnly) return;
    const timer = setInterval(() => clips.watch(clipId), PART_EVERY_MS);
    return () => clearInterval(timer);
  }, [clips, clipId, follows, readOnly]);
  // Somebody may have gone on past the end while nobody knew where it is; a trial of a part begins there.
  const [begin, end] = [firstFrame(index), knownEnd(index)];
  useEffect(() => {
    const { frame } = session.getState();
    const within = Math.max(begin, Math.min(end, frame));
    if (frame !== within) session.setState({ frame: within });
  }, [session, begin, end]);
  const picture = useMemo(() => index && markedPicture(index), [index]);
  if (!trial || !marks) return null;
  return { session, shell, ui, clips, aim, whole, trial, marks, clip, index, picture, readOnly, onScreen };
}

function samePart(a: ClipPart | null, b: ClipPart | null): boolean {
  return a?.first === b?.first && a?.last === b?.last;
}
