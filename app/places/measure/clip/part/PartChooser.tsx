import { Button, NativeSelect } from "@mantine/core";
import { type FormEvent, useMemo, useState } from "react";
import { useStore } from "zustand";
import { trialLabel } from "../../../../../src/study/labels.ts";
import type { Study } from "../../../../../src/study/types.ts";
import { clipTimeText, readClipTime } from "../../../../../src/time/clipTime.ts";
import { sameFile } from "../../../../../src/trials/sameClip.ts";
import { setTrialPart } from "../../../../commands/clips/setTrialPart.ts";
import { type Shell, ShellError } from "../../../../shell/Shell.ts";
import { attempt } from "../../../../store/attempt.ts";
import { type ClipWatch, clipState } from "../../../../store/clips.ts";
import { say } from "../../../../store/messages.ts";
import { goToTrial, type Session } from "../../../../store/session.ts";
import { Field } from "../../../shared/Field.tsx";
import { sentenceOf } from "../../../shared/tryCommand.ts";
import { filmParts } from "./filmParts.ts";
import { PartStrip } from "./PartStrip.tsx";
import { around, isLong, runAt, runFrom, type Span, withEnd } from "./stripView.ts";
import "./part.css";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly clips: ClipWatch;
  /** A link to the film. */
  readonly clip: string;
  /** The trial it is chosen for at first. */
  readonly trial: string;
  readonly readOnly: boolean;
  onKept(): void;
}

/** Which part of a film shows which trial: in pictures before anything of it is prepared, or typed. */
export function PartChooser({ session, shell, clips, clip, trial: first, readOnly, onKept }: Props) {
  const study = useStore(session, (s) => s.whole.study);
  const index = useStore(clips.state, (all) => clipState(all, clip).index);
  const [trial, setTrial] = useState(first);
  const [chosen, setChosen] = useState<Span | null>(null);
  const [close, setClose] = useState<Span | null>(null);
  const [typedEnd, setTypedEnd] = useState<{ readonly end: "from" | "to"; readonly at: number } | null>(null);
  const [busy, setBusy] = useState(false);
  const lasts = index?.lasts ?? 0;
  const whole = useMemo(() => ({ from: 0, to: lasts }), [lasts]);
  const kept = useMemo(() => filmParts(study, clip, index), [study, clip, index]);
  const own = kept.find((k) => k.trial === trial);
  const part = chosen ?? own ?? null;
  if (!index || lasts <= 0) return null;
  const long = isLong(lasts);
  const window = long ? (close ?? (part && around(part, lasts))) : null;

  const choose = (next: Span, look = false) => {
    setTypedEnd(null);
    setChosen(next);
    if (look || (window && (next.from < window.from || next.to > window.to))) setClose(around(next, lasts));
  };
  const press = (seconds: number) => {
    if (!part) return choose(runAt(seconds, lasts), true);
    const nearer = Math.abs(seconds - part.from) < Math.abs(seconds - part.to) ? "from" : "to";
    choose(withEnd(part, nearer, seconds, lasts));
  };
  const typed = (end: "from" | "to") => (text: string) => {
    let at = 0;
    const refused = sentenceOf(() => {
      at = readClipTime(text);
    });
    if (refused) return refused;
    if (at > lasts) return `The film lasts ${clipTimeText(lasts)}.`;
    if (part) choose(withEnd(part, end, at, lasts), true);
    else if (typedEnd && typedEnd.end !== end)
      choose({ from: Math.min(at, typedEnd.at), to: Math.max(at, typedEnd.at) }, true);
    else {
      // The other end is not guessed: it would be in the way of the hand that is about to type it.
      setTypedEnd({ end, at });
      if (long) setClose(around(runFrom(end, at, lasts), lasts));
    }
    return null;
  };
  const shown = (end: "from" | "to") => {
    const at = part ? part[end] : typedEnd?.end === end ? typedEnd.at : null;
    return at === null ? "" : clipTimeText(at);
  };
  const keep = async (e: FormEvent) => {
    e.preventDefault();
    if (!part) return;
    setBusy(true);
    try {
      const { first, last } = await shell.framesAt(clip, part.from, part.to);
      if (!attempt(session, setTrialPart, { trial, clip, part: { first, last } })) return;
      setChosen(null);
      setClose(null);
      if (trial === session.getState().trial) session.setState({ frame: first });
      else goToTrial(session, trial);
      onKept();
    } catch (error) {
      if (!(error instanceof ShellError)) throw error;
      say(error.message);
    } finally {
      setBusy(false);
    }
  };

  const strip = { shell, clip, lasts, part, disabled: readOnly };
  const others = kept.filter((k) => k.trial !== trial);
  return (
    <form className="part-chooser" onSubmit={(e) => void keep(e)}>
      <PartStrip
        {...strip}
        label={`The whole film, ${clipTimeText(lasts)}`}
        span={whole}
        others={others}
        onPart={(p) => choose(p, !long)}
        onPress={(s) => (long ? choose(runAt(s, lasts), true) : press(s))}
      />
      {window && (
        <>
          <p className="quiet">
            Closer: {clipTimeText(Math.round(window.from))} to {clipTimeText(Math.round(window.to))}. Drag the
            ends.
          </p>
          <PartStrip
            {...strip}
            label="The part and what is around it"
            span={window}
            others={others}
            onPart={choose}
            onPress={press}
          />
        </>
      )}
      <div className="part-typed">
        <Field
          label="From"
          size="sm"
          value={shown("from")}
          placeholder="1:41"
          readOnly={readOnly}
          onCommit={typed("from")}
        />
        <Field
          label="To"
          size="sm"
          value={shown("to")}
          placeholder="1:47 or 107 s"
          readOnly={readOnly}
          onCommit={typed("to")}
        />
        <NativeSelect
          label="Shows"
          size="sm"
          value={trial}
          data={trialsOf(study, clip, first)}
          onChange={(e) => {
            setTrial(e.currentTarget.value);
            setChosen(null);
            setClose(null);
          }}
        />
        <Button type="submit" disabled={readOnly || busy || !part || part.to <= part.from}>
          Use this part
        </Button>
        {part && <span className="quiet number part-lasts">{secondsText(part.to - part.from)}</span>}
      </div>
      {kept.length > 0 && (
        <p className="quiet">
          Cut so far:{" "}
          {kept.map((k) => `${k.name} ${clipTimeText(k.from)} to ${clipTimeText(k.to)}`).join("; ")}.
        </p>
      )}
    </form>
  );
}

/** Trials the film may show: those without a clip, and those that show it already. */
function trialsOf(study: Study, clip: string, first: string) {
  const film = study.clips.find((c) => c.id === clip);
  return study.trials
    .filter((t) => {
      const link = study.clips.find((c) => c.id === t.clip);
      return t.id === first || !link || (film && sameFile(link, film));
    })
    .sort((a, b) => a.order - b.order)
    .map((t) => ({ value: t.id, label: `${t.order}. ${trialLabel(study, t.id)}` }));
}

function secondsText(seconds: number): string {
  return `${Number(seconds.toFixed(1))} s`;
}
