import { Button, Checkbox } from "@mantine/core";
import { useEffect, useMemo, useState } from "react";
import { useStore } from "zustand";
import type { KnownStudy } from "../../src/study/exchange.ts";
import { dayText } from "../../src/study/lockedPlan.ts";
import { Card } from "../places/shared/Card.tsx";
import { type Shell, ShellError } from "../shell/Shell.ts";
import type { Autosave } from "../store/autosave.ts";
import { type Session, showBeside } from "../store/session.ts";
import { AddEvening } from "./AddEvening.tsx";
import { PooledPart } from "./PooledPart.tsx";
import { SkaterPart } from "./SkaterPart.tsx";
import "../places/shared/places.css";
import "./season.css";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly autosave: Autosave;
}

/** Several evenings together: which, what they say as one answer, and each skater through them. */
export function SeasonPage({ session, shell, autosave }: Props) {
  const here = useStore(session, (s) => s.folder);
  const study = useStore(session, (s) => s.whole.study);
  const techniques = useMemo(() => study.techniques.map((t) => t.name || t.id), [study]);
  const [known, setKnown] = useState<readonly KnownStudy[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set([here]));
  /** Never opened here: named by their folder. */
  const [added, setAdded] = useState<readonly KnownStudy[]>([]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: chosen once, by what the study was when the page was opened
  useEffect(() => {
    shell.studies().then(
      ({ recent }) => {
        setKnown(recent);
        const alike = (s: KnownStudy) =>
          s.distance === study.lane.distance && techniques.every((t) => s.techniques.includes(t));
        setChosen(new Set([here, ...recent.filter(alike).map((s) => s.folder)]));
      },
      (error: unknown) => {
        if (!(error instanceof ShellError)) throw error;
        setProblem(error.message);
      },
    );
  }, [shell]);
  /** A skater's page is shown: it is what will be printed. */
  const [page, setPage] = useState(false);
  const all = [
    ...(known ?? []),
    ...added.filter((s) => !known?.some((other) => other.folder === s.folder)),
  ].sort((a, b) => (a.date ?? "9999").localeCompare(b.date ?? "9999"));
  const evenings = all.filter((s) => chosen.has(s.folder));
  const folders = [...new Set([here, ...evenings.map((s) => s.folder)])].filter((folder) =>
    chosen.has(folder),
  );
  return (
    <div className="place season-page">
      <header className="place-head screen-only">
        <div>
          <h1>Season</h1>
          <p className="quiet">
            Several evenings of one question as one answer, and each skater through them.
          </p>
        </div>
        <Button variant="default" onClick={() => showBeside(session, null)}>
          Back to this study
        </Button>
      </header>
      {problem !== null && (
        <p className="care" role="alert">
          {problem}
        </p>
      )}
      <div className="screen-only">
        <Card title="Which evenings" note={`${folders.length} chosen`}>
          {known === null && problem === null && <p className="quiet">Looking …</p>}
          <ul className="season-evenings">
            {all.map((s) => (
              <li key={s.folder}>
                <Checkbox
                  checked={chosen.has(s.folder)}
                  onChange={(e) => {
                    const next = new Set(chosen);
                    if (e.currentTarget.checked) next.add(s.folder);
                    else next.delete(s.folder);
                    setChosen(next);
                  }}
                  label={`${s.date ? dayText(s.date) : "No date"}: ${s.question || "no question yet"}`}
                  description={`${s.folder} · ${s.distance} m · ${s.techniques.join(", ") || "no techniques"} · ${s.people.length} skaters · ${s.timed} of ${s.trials} trials timed`}
                />
              </li>
            ))}
          </ul>
          <AddEvening
            shell={shell}
            onFound={(found) => {
              setAdded([...added.filter((s) => s.folder !== found.folder), found]);
              setChosen(new Set([...chosen, found.folder]));
            }}
          />
        </Card>
      </div>
      <div className={page ? "screen-only" : undefined}>
        <PooledPart shell={shell} study={study} folders={folders} evenings={evenings} />
      </div>
      <SkaterPart
        session={session}
        shell={shell}
        autosave={autosave}
        folders={folders}
        evenings={evenings}
        onShown={setPage}
      />
    </div>
  );
}
