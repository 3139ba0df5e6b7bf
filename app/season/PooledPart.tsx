import { Button, Checkbox, NativeSelect, NumberInput } from "@mantine/core";
import { useMemo, useState } from "react";
import type { PoolJson } from "../../src/pool/poolJson.ts";
import { poolSaid } from "../../src/pool/poolWords.ts";
import { COMPARE_QUANTITIES, type CompareQuantity, QUANTITY_WORDS } from "../../src/quantities/compared.ts";
import { forestFigure } from "../../src/report/figures/forestFigure.ts";
import type { KnownStudy } from "../../src/study/exchange.ts";
import type { Study } from "../../src/study/types.ts";
import { capital } from "../../src/words.ts";
import { StudyFigure } from "../charts/StudyFigure.tsx";
import { Card } from "../places/shared/Card.tsx";
import type { Shell } from "../shell/Shell.ts";
import { AskedWords } from "./AskedWords.tsx";
import { MapTechnique } from "./MapTechnique.tsx";
import { useAsked } from "./useAsked.ts";

interface Props {
  readonly shell: Shell;
  readonly study: Study;
  readonly folders: readonly string[];
  readonly evenings: readonly KnownStudy[];
}

/** The evenings chosen as one answer; nothing is worked out here. */
export function PooledPart({ shell, study, folders, evenings }: Props) {
  const techniques = study.techniques.map((t) => t.name || t.id);
  const nameOf = (id: string | undefined) => {
    const found = study.techniques.find((t) => t.id === id);
    return found && (found.name || found.id);
  };
  const [a, setA] = useState(nameOf(study.compare?.a) ?? techniques[0] ?? "");
  const [b, setB] = useState(nameOf(study.compare?.b) ?? techniques[1] ?? "");
  const [quantity, setQuantity] = useState<CompareQuantity>(study.plan?.quantity ?? "time_s");
  const [codes, setCodes] = useState(false);
  const [looks, setLooks] = useState(1);
  /** By folder and technique: what it is called there. */
  const [called, setCalled] = useState<Readonly<Record<string, string>>>({});
  const { asked, ask, stop } = useAsked(shell);
  const keyOf = (folder: string, technique: string) => `${technique}\n${folder}`;
  const elsewhere = [a, b].flatMap((technique) =>
    evenings
      .filter((s) => technique !== "" && !s.techniques.includes(technique))
      .map((evening) => ({ technique, evening, key: keyOf(evening.folder, technique) })),
  );
  const namesOf = (technique: string) => [
    ...new Set([technique, ...elsewhere.flatMap((e) => (e.technique === technique && called[e.key]) || [])]),
  ];
  return (
    <Card title="The techniques over all evenings">
      <div className="season-line">
        <NativeSelect
          label="Quantity"
          value={quantity}
          data={COMPARE_QUANTITIES.map((q) => ({ value: q, label: capital(QUANTITY_WORDS[q].name) }))}
          onChange={(e) => setQuantity(e.currentTarget.value as CompareQuantity)}
        />
        <NativeSelect
          label="Technique"
          value={b}
          data={techniques.filter((t) => t !== a)}
          onChange={(e) => setB(e.currentTarget.value)}
        />
        <NativeSelect
          label="against"
          value={a}
          data={techniques.filter((t) => t !== b)}
          onChange={(e) => setA(e.currentTarget.value)}
        />
        <NumberInput
          label="Looks planned"
          description="this one included"
          value={looks}
          min={1}
          max={100}
          allowDecimal={false}
          onChange={(n) => setLooks(typeof n === "number" && n >= 1 ? n : 1)}
        />
      </div>
      {elsewhere.map(({ key, ...rest }) => (
        <MapTechnique
          key={key}
          {...rest}
          value={called[key] ?? ""}
          onValue={(name) => setCalled({ ...called, [key]: name })}
        />
      ))}
      <div className="season-line">
        <Checkbox
          checked={codes}
          onChange={(e) => setCodes(e.currentTarget.checked)}
          label="The same code is the same skater, whatever the name"
        />
        <Button
          disabled={folders.length < 2 || a === "" || b === "" || asked.is === "asking"}
          onClick={() =>
            void ask({ do: "pool", folders, a: namesOf(a), b: namesOf(b), quantity, codes, looks })
          }
        >
          Pool these evenings
        </Button>
        {folders.length < 2 && <span className="quiet">Choose two evenings or more.</span>}
      </div>
      <AskedWords asked={asked} onStop={stop} />
      {asked.is === "answered" && asked.answer.kind === "pooled" && <Pooled text={asked.answer.text} />}
    </Card>
  );
}

function Pooled({ text }: { readonly text: string }) {
  const pool = useMemo(() => JSON.parse(text) as PoolJson, [text]);
  const said = useMemo(() => poolSaid(pool), [pool]);
  const figure = useMemo(() => forestFigure(pool), [pool]);
  return (
    <section className="season-answer" aria-label="Pooled answer">
      <p className="season-headline">{capital(said.answer)}</p>
      {said.conclusion !== "" && <p>{said.conclusion}</p>}
      {figure && <StudyFigure figure={figure} />}
      {said.further.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <details>
        <summary>Each evening, and the others without it</summary>
        <div className="sheet-scroll">
          <table className="sheet">
            <thead>
              <tr>
                <th>Evening</th>
                <th>Date</th>
                <th className="right">Skaters</th>
                <th className="right">Mean difference ± 95 %</th>
                <th className="right">The others, 95 %</th>
              </tr>
            </thead>
            <tbody>
              {pool.studies.map(({ study, date, n }, k) => (
                <tr key={study}>
                  <td>{study}</td>
                  <td>{date ?? "–"}</td>
                  <td className="right">{n}</td>
                  <td className="right">{said.evenings[k]?.value}</td>
                  <td className="right">{said.without.find((w) => w.study === study)?.value ?? "–"}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
        {typeof pool.method === "string" && <p className="quiet">{pool.method}.</p>}
      </details>
      {said.warnings.length > 0 && (
        <ul className="problem-list">
          {said.warnings.map((warning) => (
            <li key={warning}>{warning}</li>
          ))}
        </ul>
      )}
    </section>
  );
}
