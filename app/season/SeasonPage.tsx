import { Button, Checkbox, TextInput } from "@mantine/core";
import { useEffect, useMemo, useState } from "react";
import { useStore } from "zustand";
import type { KnownStudy } from "../../src/study/exchange.ts";
import { dayText } from "../../src/study/lockedPlan.ts";
import { Card } from "../places/shared/Card.tsx";
import { type Shell, ShellError } from "../shell/Shell.ts";
import { type Session, showBeside } from "../store/session.ts";
import { PooledPart } from "./PooledPart.tsx";
import { SkaterPart } from "./SkaterPart.tsx";
import "../places/shared/places.css";
import "./season.css";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
}

/** Several evenings together: which, what they say as one answer, and each skater through them. */
export function SeasonPage({ session, shell }: Props) {
  const here = useStore(session, (s) => s.folder);
  const study = useStore(session, (s) => s.whole.study);
  const techniques = useMemo(() => study.techniques.map((t) => t.name || t.id), [study]);
  const [known, setKnown] = useState<readonly KnownStudy[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set([here]));
  const [added, setAdded] = useState<readonly string[]>([]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: chosen once, by what the study was when the page was opened
  useEffect(() => {
    shell.studies().then(
      ({ recent }) => {
        const sorted = [...recent].sort((a, b) => (a.date ?? "9999").localeCompare(b.date ?? "9999"));
        setKnown(sorted);
        const alike = (s: KnownStudy) =>
          s.distance === study.lane.distance && techniques.every((t) => s.techniques.includes(t));
        setChosen(new Set([here, ...sorted.filter(alike).map((s) => s.folder)]));
      },
      (error: unknown) => {
        if (!(error instanceof ShellError)) throw error;
        setProblem(error.message);
      },
    );
  }, [shell]);
  /** A skater's page is shown: it is what will be printed. */
  const [page, setPage] = useState(false);
  const evenings = (known ?? []).filter((s) => chosen.has(s.folder));
  const folders = [...new Set([here, ...evenings.map((s) => s.folder), ...added])].filter(
    (folder) => chosen.has(folder) || added.includes(folder),
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
            {(known ?? []).map((s) => (
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
          <AddFolder added={added} onAdded={setAdded} />
        </Card>
      </div>
      <div className={page ? "screen-only" : undefined}>
        <PooledPart shell={shell} study={study} folders={folders} evenings={evenings} />
      </div>
      <SkaterPart shell={shell} folders={folders} evenings={evenings} here={here} onShown={setPage} />
    </div>
  );
}

/** Evenings that were never opened here: a study somebody shared. */
function AddFolder({
  added,
  onAdded,
}: {
  readonly added: readonly string[];
  readonly onAdded: (folders: readonly string[]) => void;
}) {
  const [folder, setFolder] = useState("");
  return (
    <>
      <ul className="season-evenings">
        {added.map((one) => (
          <li key={one}>
            <Checkbox checked onChange={() => onAdded(added.filter((other) => other !== one))} label={one} />
          </li>
        ))}
      </ul>
      <form
        className="season-line"
        onSubmit={(e) => {
          e.preventDefault();
          if (folder.trim() !== "") onAdded([...new Set([...added, folder.trim()])]);
          setFolder("");
        }}
      >
        <TextInput
          className="season-folder"
          aria-label="Folder of another evening"
          placeholder="~/studies/from-another-club"
          value={folder}
          onChange={(e) => setFolder(e.currentTarget.value)}
        />
        <Button type="submit" variant="default" disabled={folder.trim() === ""}>
          Add an evening
        </Button>
      </form>
    </>
  );
}
