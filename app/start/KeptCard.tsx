import { Button, Modal, TextInput } from "@mantine/core";
import { useEffect, useState } from "react";
import { lengthText } from "../../src/study/length.ts";
import {
  EMPTY_LIBRARY,
  KEPT_KINDS,
  type Kept,
  type KeptKind,
  type KeptRink,
  type KeptSetup,
  type KeptSkater,
  type KeptTechnique,
  type Library,
} from "../../src/study/library.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

const TITLES: Readonly<Record<KeptKind, readonly [one: string, more: string, title: string]>> = {
  skaters: ["skater", "skaters", "Skaters"],
  techniques: ["technique", "techniques", "Techniques"],
  rinks: ["rink", "rinks", "Rinks"],
  setups: ["camera set-up", "camera set-ups", "Camera set-ups"],
};

/** What is kept beside all studies: looked through, renamed, removed. No study changes by it. */
export function KeptCard({ shell }: { readonly shell: Shell }) {
  const [library, setLibrary] = useState<Library | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [open, setOpen] = useState(false);
  /** What was removed last, to put it back. */
  const [gone, setGone] = useState<{ readonly name: string; readonly kept: Kept } | null>(null);
  useEffect(() => {
    shell.library().then(setLibrary, (error: unknown) => setProblem(wordsOf(error)));
  }, [shell]);
  const change = async (changing: Promise<Library>): Promise<boolean> => {
    try {
      setLibrary(await changing);
      setProblem(null);
      return true;
    } catch (error) {
      setProblem(wordsOf(error));
      return false;
    }
  };
  const remove = async (kind: KeptKind, one: Named) => {
    const done = await change(shell.editKept({ kind, name: one.name, to: null }));
    const { skaters, techniques, rinks, setups } = EMPTY_LIBRARY;
    if (done) setGone({ name: one.name, kept: { skaters, techniques, rinks, setups, [kind]: [one] } });
  };
  const all = library ?? EMPTY_LIBRARY;
  const there = KEPT_KINDS.filter((kind) => all[kind].length > 0);
  return (
    <section className="card place-card" aria-label="Kept for other studies">
      <h2>Kept for other studies</h2>
      <p className="quiet">
        {there.length === 0
          ? "Nothing yet. In Plan and Measure, “Keep …” keeps skaters, techniques, rinks and camera set-ups for the next study."
          : `${there.map((kind) => countOf(kind, all[kind].length)).join(", ")}. Offered while you type; studies take copies.`}
      </p>
      {problem !== null && !open && (
        <p className="care" role="alert">
          {problem}
        </p>
      )}
      <Button variant="default" disabled={there.length === 0} onClick={() => setOpen(true)}>
        Look through
      </Button>
      <Modal opened={open} onClose={() => setOpen(false)} size="xl" title="Kept for other studies">
        <p>
          What you rename or remove here is offered so from now on. Studies that are there keep what they
          have. To take a skater out of studies as well: Several evenings together, “Forget this skater”.
        </p>
        {problem !== null && (
          <p className="care" role="alert">
            {problem}
          </p>
        )}
        {gone && (
          <p className="kept-gone" role="status">
            {gone.name} is removed.
            <Button
              variant="default"
              size="compact-sm"
              onClick={() => void change(shell.keep(gone.kept)).then((done) => done && setGone(null))}
            >
              Put back
            </Button>
          </p>
        )}
        {there.length === 0 && <p className="quiet">Nothing is kept.</p>}
        {there.map((kind) => (
          <section key={kind} className="kept-kind" aria-label={TITLES[kind][2]}>
            <h3>{TITLES[kind][2]}</h3>
            <ul className="kept-list">
              {all[kind].map((one) => (
                <KeptRow
                  key={one.name}
                  one={one}
                  facts={FACTS[kind](one as never)}
                  onName={(to) => change(shell.editKept({ kind, name: one.name, to }))}
                  onRemove={() => void remove(kind, one)}
                />
              ))}
            </ul>
          </section>
        ))}
      </Modal>
    </section>
  );
}

interface Named {
  readonly name: string;
}

function KeptRow({
  one: { name },
  facts,
  onName,
  onRemove,
}: {
  readonly one: Named;
  readonly facts: string;
  readonly onName: (to: string) => Promise<boolean>;
  readonly onRemove: () => void;
}) {
  const [typed, setTyped] = useState(name);
  const commit = async () => {
    if (typed.trim() !== name && !(await onName(typed))) setTyped(name);
  };
  return (
    <li>
      <form
        onSubmit={(e) => {
          e.preventDefault();
          void commit();
        }}
      >
        <TextInput
          aria-label={`Name of ${name}`}
          value={typed}
          onChange={(e) => setTyped(e.currentTarget.value)}
          onBlur={() => void commit()}
        />
      </form>
      <span className="quiet">{facts}</span>
      <Button variant="subtle" color="red" size="compact-sm" aria-label={`Remove ${name}`} onClick={onRemove}>
        Remove
      </Button>
    </li>
  );
}

const FACTS = {
  skaters: ({ code, body }: KeptSkater) =>
    listed([code, counted(Object.keys(body).length, "body length", "body lengths")]),
  techniques: ({ asked }: KeptTechnique) => listed([counted(asked.length, "band", "bands")]) || "no bands",
  rinks: ({ lane, cameraPlan, markings = [] }: KeptRink) =>
    listed([
      lane.distance > 0 ? `lane of ${lengthText(lane.distance, lane.unit)}` : "",
      counted(lane.gates.length, "gate", "gates"),
      counted(markings.length, "place measured", "places measured"),
      cameraPlan ? "camera place" : "",
    ]),
  setups: ({ lens, cameraPlan }: KeptSetup) =>
    listed([
      lens ? `lens k1 ${minus(lens.k1)}${lens.k2 === undefined ? "" : `, k2 ${minus(lens.k2)}`}` : "",
      cameraPlan
        ? `usual place ${lengthText(cameraPlan.x, "m")} along, ${lengthText(cameraPlan.height, "m")} up`
        : "",
    ]),
} as const;

const minus = (k: number) => String(k).replace("-", "−");
const counted = (n: number, one: string, more: string) => (n === 0 ? "" : `${n} ${n === 1 ? one : more}`);
const countOf = (kind: KeptKind, n: number) => counted(n, TITLES[kind][0], TITLES[kind][1]);
const listed = (parts: readonly string[]) => parts.filter((part) => part !== "").join(" · ");

function wordsOf(error: unknown): string {
  if (error instanceof ShellError) return error.message;
  throw error;
}
