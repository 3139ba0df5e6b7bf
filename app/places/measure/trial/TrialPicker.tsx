import { Menu } from "@mantine/core";
import { useEffect, useState } from "react";
import { trialLabel } from "../../../../src/study/labels.ts";
import type { WholeStudy } from "../../../../src/study/types.ts";
import type { AsAsked } from "../../../../src/trials/asAsked.ts";
import { countedReadings } from "../../../../src/trials/countedReadings.ts";
import { scaleReference } from "../../../../src/trials/scaleReference.ts";
import { trialAsAsked } from "../../../../src/trials/techniqueCheck.ts";
import { wholeReading } from "../../../store/readings.ts";
import { goToTrial, type Session } from "../../../store/session.ts";
import { nextUnmarked, stateWords, type TrialState, trialState } from "../../../store/trialState.ts";
import { whenIdle } from "../../../store/whenIdle.ts";

interface Props {
  readonly session: Session;
  readonly whole: WholeStudy;
  /** The trial that is open. */
  readonly trial: string;
  toTrial(by: 1 | -1): void;
}

/** Which trial is open, how far each is, and the ways to another. */
export function TrialPicker({ session, whole, trial, toTrial }: Props) {
  const { trials } = whole.study;
  const at = trials.findIndex((t) => t.id === trial);
  const next = nextUnmarked(whole, trial);
  const [open, setOpen] = useState(false);
  return (
    <nav className="trial-nav" aria-label="Trials">
      <button type="button" disabled={at <= 0} onClick={() => toTrial(-1)} aria-label="Trial before">
        ‹
      </button>
      <Menu opened={open} onChange={setOpen} position="bottom-end">
        <Menu.Target>
          <button type="button" className="trial-picker number" title="How far each trial is">
            Trial {at + 1} of {trials.length} ▾
          </button>
        </Menu.Target>
        <Menu.Dropdown className="trial-list">
          {open && <TrialItems session={session} whole={whole} trial={trial} />}
        </Menu.Dropdown>
      </Menu>
      <button
        type="button"
        disabled={at >= trials.length - 1}
        onClick={() => toTrial(1)}
        aria-label="Next trial"
      >
        ›
      </button>
      <button
        type="button"
        className="plain-button"
        disabled={next === null}
        title={next ? trialLabel(whole.study, next.id) : "Every trial that has a clip is marked"}
        onClick={() => next && goToTrial(session, next.id)}
      >
        Next unmarked
      </button>
    </nav>
  );
}

function TrialItems({ session, whole, trial }: Pick<Props, "session" | "whole" | "trial">) {
  const asked = useAsked(whole);
  return whole.study.trials.map((t, i) => {
    const state = trialState(t, whole.marks[t.id], scaleReference(whole, t.id) !== null);
    const answer = asked[t.id];
    return (
      <Menu.Item
        key={t.id}
        aria-current={t.id === trial ? "true" : undefined}
        onClick={() => goToTrial(session, t.id)}
        leftSection={<span className="number quiet">{i + 1}</span>}
        rightSection={
          <span className="trial-state">
            <span className={TONES[state.kind]}>{t.valid ? stateWords(state) : "not valid"}</span>
            {answer && <span className={ASKED[answer].tone}>{ASKED[answer].words}</span>}
          </span>
        }
      >
        {trialLabel(whole.study, t.id)}
      </Menu.Item>
    );
  });
}

/** Grey for what is not there yet, green for what is done. */
const TONES: Readonly<Record<TrialState["kind"], string>> = {
  "no-clip": "quiet",
  unmarked: "quiet",
  begun: "",
  marked: "good",
};

const ASKED: Readonly<Record<AsAsked["answer"], { readonly words: string; readonly tone: string }>> = {
  yes: { words: "as asked", tone: "good" },
  no: { words: "not as asked", tone: "care" },
  "can't tell": { words: "", tone: "quiet" },
};

/** Whether each marked trial shows what was asked, one after the other while nothing else is to be done. */
function useAsked(whole: WholeStudy): Readonly<Record<string, AsAsked["answer"]>> {
  const [answers, setAnswers] = useState<Readonly<Record<string, AsAsked["answer"]>>>({});
  useEffect(() => {
    const marked = whole.study.trials.filter(
      (t) => t.valid && trialState(t, whole.marks[t.id]).kind === "marked",
    );
    const readings = countedReadings(whole, (id) => wholeReading(whole, id));
    let stop = () => {};
    const go = (i: number) => {
      const trial = marked[i];
      const technique = whole.study.techniques.find((t) => t.id === trial?.technique);
      if (!trial) return;
      if (technique && technique.asked.length > 0) {
        const { answer } = trialAsAsked(trial, technique, readings);
        setAnswers((now) => ({ ...now, [trial.id]: answer }));
      }
      stop = whenIdle(() => go(i + 1));
    };
    stop = whenIdle(() => go(0));
    return () => stop();
  }, [whole]);
  return answers;
}
