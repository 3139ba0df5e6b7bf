import { Button, TextInput } from "@mantine/core";
import { useEffect, useState } from "react";
import { useStore } from "zustand";
import type { StudyList, StudyWish } from "../../src/study/exchange.ts";
import { dayText } from "../../src/study/lockedPlan.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";
import type { Autosave } from "../store/autosave.ts";
import { type Session, showBeside } from "../store/session.ts";
import { KeptCard } from "./KeptCard.tsx";
import "../places/shared/places.css";
import "./start.css";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly autosave: Autosave;
}

const WAYS = [
  {
    do: "open",
    title: "Open a study",
    words: "The folder that holds study.json.",
    button: "Open",
  },
  {
    do: "new",
    title: "New study",
    words: "A new or empty folder; it is made if it is not there.",
    button: "Make it",
  },
  {
    do: "next",
    title: "Next evening of this study",
    words:
      "A new folder with the same question, skaters and their bodies, techniques and their bands, lane and camera placement, and a fresh run order.",
    button: "Make it",
  },
] as const;

/** Which study: one of the last, another folder, a new one, the next evening of this one, or the demo. */
export function StartPage({ session, shell, autosave }: Props) {
  const here = useStore(session, (s) => s.folder);
  const [list, setList] = useState<StudyList | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [going, setGoing] = useState(false);
  useEffect(() => {
    shell.studies().then(setList, (error: unknown) => setProblem(wordsOf(error)));
  }, [shell]);
  const go = async (wish: StudyWish) => {
    setGoing(true);
    setProblem(null);
    try {
      await autosave.flush();
      window.location.assign(await shell.goToStudy(wish));
    } catch (error) {
      setProblem(wordsOf(error));
      setGoing(false);
    }
  };
  return (
    <div className="place start-page">
      <header className="place-head">
        <h1>Studies</h1>
        <div className="place-actions">
          <Button variant="default" onClick={() => showBeside(session, "season")}>
            Several evenings together
          </Button>
          <Button variant="default" onClick={() => showBeside(session, null)}>
            Back to this study
          </Button>
        </div>
      </header>
      {problem !== null && (
        <p className="care" role="alert">
          {problem}
        </p>
      )}
      <section className="card place-card" aria-label="Recent studies">
        <h2>Recent</h2>
        {list === null && problem === null && <p className="quiet">Looking …</p>}
        {list && (
          <ul className="start-list">
            {list.recent.map((study) => (
              <li key={study.folder}>
                <div>
                  <strong>{study.question || "No question yet"}</strong>
                  <p className="quiet">
                    {study.date ? `${dayText(study.date)} · ` : ""}
                    {study.skaters} {study.skaters === 1 ? "skater" : "skaters"} · {study.timed} of{" "}
                    {study.trials} trials timed
                  </p>
                  <p className="quiet start-folder">{study.folder}</p>
                </div>
                {study.folder === here ? (
                  <span className="quiet">open here</span>
                ) : (
                  <Button
                    variant="default"
                    disabled={going}
                    aria-label={`Open ${study.folder}`}
                    onClick={() => void go({ do: "open", folder: study.folder })}
                  >
                    Open
                  </Button>
                )}
              </li>
            ))}
          </ul>
        )}
      </section>
      <div className="start-ways">
        {WAYS.map((way) => (
          <Way
            key={way.do}
            {...way}
            usual={way.do === "next" ? `${here} next` : ""}
            disabled={going}
            go={(folder) => void go({ do: way.do, folder })}
          />
        ))}
        <KeptCard shell={shell} />
        <section className="card place-card" aria-label="Demo">
          <h2>Demo</h2>
          <p className="quiet">
            Five invented skaters with clips, to try things on; a working copy of your own.
          </p>
          <Button variant="default" disabled={going} onClick={() => void go({ do: "demo" })}>
            Open the demo
          </Button>
        </section>
      </div>
    </div>
  );
}

interface WayProps {
  readonly title: string;
  readonly words: string;
  readonly button: string;
  readonly usual: string;
  readonly disabled: boolean;
  readonly go: (folder: string) => void;
}

function Way({ title, words, button, usual, disabled, go }: WayProps) {
  const [folder, setFolder] = useState(usual);
  return (
    <section className="card place-card" aria-label={title}>
      <h2>{title}</h2>
      <p className="quiet">{words}</p>
      <form
        className="add-line"
        onSubmit={(e) => {
          e.preventDefault();
          go(folder);
        }}
      >
        <TextInput
          aria-label={`Folder, ${title.toLowerCase()}`}
          placeholder="~/studies/january"
          value={folder}
          onChange={(e) => setFolder(e.currentTarget.value)}
        />
        <Button type="submit" variant="default" disabled={disabled || folder.trim() === ""}>
          {button}
        </Button>
      </form>
    </section>
  );
}

function wordsOf(error: unknown): string {
  if (error instanceof ShellError) return error.message;
  throw error;
}
