import { ActionIcon, Button, NativeSelect, TextInput, Tooltip } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import { MeasureError } from "../../../src/errors.ts";
import type { CompareQuantity } from "../../../src/quantities/compared.ts";
import { COMPARE_QUANTITIES, QUANTITY_WORDS } from "../../../src/quantities/compared.ts";
import { readNumber } from "../../../src/study/csv.ts";
import { keptOf } from "../../../src/study/library.ts";
import type { Band, Study, Technique } from "../../../src/study/types.ts";
import { bandFault } from "../../../src/trials/bandFault.ts";
import { type BandWorth, bandWorth } from "../../../src/trials/bandWorth.ts";
import { type OfferedBand, offeredBands, withEdges } from "../../../src/trials/offeredBands.ts";
import { PRESET_QUESTIONS } from "../../../src/trials/presetQuestions.ts";
import { formatNumber, withUnit } from "../../../src/uncertainty/format.ts";
import { capital } from "../../../src/words.ts";
import { addTechnique } from "../../commands/plan/addTechnique.ts";
import { editTechnique } from "../../commands/plan/editTechnique.ts";
import { removeTechnique } from "../../commands/plan/removeTechnique.ts";
import { setWorthwhile } from "../../commands/plan/setWorthwhile.ts";
import { takeQuestion } from "../../commands/plan/takeQuestion.ts";
import { attempt } from "../../store/attempt.ts";
import { readingAtHand, workedOut } from "../../store/readings.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { Field } from "../shared/Field.tsx";
import { KeepButton } from "../shared/KeepButton.tsx";
import { sentenceOf, tryCommand } from "../shared/tryCommand.ts";
import { type KeptThings, keptAs } from "../shared/useLibrary.ts";

type BandQuantity = Exclude<CompareQuantity, "time_s">;
const BAND_QUANTITIES = COMPARE_QUANTITIES.filter((q): q is BandQuantity => q !== "time_s");

/** What skaters are asked to do, and by which numbers one sees that they did. */
export function TechniquesCard({
  session,
  study,
  kept: { library, keep },
}: {
  session: Session;
  study: Study;
  kept: KeptThings;
}) {
  const [name, setName] = useState("");
  return (
    <Card
      title="Techniques"
      area="techniques"
      actions={
        study.techniques.length > 0 && (
          <KeepButton onKeep={() => keep({ techniques: keptOf(study).techniques })} />
        )
      }
      note="How will you check that the skater really did it? Choose a measure and its limits."
    >
      {study.techniques.length < 2 && <Questions session={session} />}
      {study.techniques.map((technique) => (
        <TechniqueRows key={technique.id} session={session} study={study} technique={technique} />
      ))}
      <form
        className="add-line"
        onSubmit={(e) => {
          e.preventDefault();
          const kept = keptAs(library.techniques, name);
          if (attempt(session, addTechnique, kept ? { name, asked: kept.asked } : { name })) setName("");
        }}
      >
        <TextInput
          aria-label="New technique's name"
          placeholder="Name of the next technique"
          {...(library.techniques.length > 0 && { list: "kept-techniques" })}
          value={name}
          onChange={(e) => setName(e.currentTarget.value)}
        />
        <datalist id="kept-techniques">
          {library.techniques
            .filter((t) => keptAs(study.techniques, t.name) === undefined)
            .map((t) => (
              <option key={t.name} value={t.name} />
            ))}
        </datalist>
        <Button type="submit" variant="default" disabled={name.trim() === ""}>
          Add technique
        </Button>
      </form>
      <div className="worth-line">
        <Field
          label="Smallest difference in time worth having, s"
          help="A difference within plus or minus this is called too small to matter. Blank: 0.2 of the spread between skaters."
          value={study.worthwhile === null ? "" : String(study.worthwhile)}
          placeholder="0.2 of the spread between skaters"
          onCommit={(text) => tryCommand(session, setWorthwhile, { text })}
        />
      </div>
    </Card>
  );
}

/** Questions with their techniques and bands, to begin with. */
function Questions({ session }: { session: Session }) {
  return (
    <div className="preset-questions">
      <p className="quiet">
        Start from a question, with two techniques and their bands, and change what you like:
      </p>
      {PRESET_QUESTIONS.map(({ key, name, needs }) => (
        <div key={key} className="preset-question">
          <Button variant="default" size="compact-sm" onClick={() => attempt(session, takeQuestion, { key })}>
            {name}
          </Button>
          <span className="quiet">{needs}</span>
        </div>
      ))}
    </div>
  );
}

function TechniqueRows({
  session,
  study,
  technique,
}: {
  session: Session;
  study: Study;
  technique: Technique;
}) {
  const whole = useStore(session, (s) => s.whole);
  // How well bands are measured rests on what is at hand, which comes while one looks.
  useStore(workedOut);
  const change = (part: Partial<Omit<Technique, "id">>, what: string) =>
    tryCommand(session, editTechnique, { technique: technique.id, change: part, what });
  const bands = (asked: readonly Band[]) => change({ asked }, `what is asked of ${technique.name}`);
  const unused = BAND_QUANTITIES.find((q) => !technique.asked.some((b) => b.quantity === q));
  return (
    <div className="technique">
      <div className="technique-head">
        <Field
          aria-label={`Name of ${technique.name}`}
          value={technique.name}
          onCommit={(name) => change({ name }, `the name of ${technique.name}`)}
        />
        <Button
          variant="subtle"
          size="compact-sm"
          disabled={!unused}
          onClick={() => unused && bands([...technique.asked, { quantity: firstChoice(technique, unused) }])}
        >
          Add a band
        </Button>
        <Tooltip label={`Remove ${technique.name}`}>
          <ActionIcon
            variant="subtle"
            color="gray"
            aria-label={`Remove ${technique.name}`}
            onClick={() =>
              attempt(session, removeTechnique, { technique: technique.id, name: technique.name })
            }
          >
            ✕
          </ActionIcon>
        </Tooltip>
      </div>
      {technique.asked.map((band, i) => (
        <BandRow
          // biome-ignore lint/suspicious/noArrayIndexKey: bands have no other identity and keep their places
          key={i}
          band={band}
          of={technique.name}
          worth={bandWorth(study, technique.id, band, (trial) => readingAtHand(whole, trial))}
          onChange={(next) => bands(technique.asked.flatMap((b, j) => (j !== i ? [b] : next ? [next] : [])))}
        />
      ))}
      {technique.asked.length === 0 && (
        <p className="quiet">No band yet, so nobody can tell whether a trial was as asked.</p>
      )}
    </div>
  );
}

/** The sturdiest quantity first: it needs blades only. */
function firstChoice(technique: Technique, unused: BandQuantity): BandQuantity {
  const sturdiest: BandQuantity = "touchdown_to_track_midline_m";
  return technique.asked.some((b) => b.quantity === sturdiest) ? unused : sturdiest;
}

function BandRow({
  band,
  of,
  worth,
  onChange,
}: {
  band: Band;
  of: string;
  worth: BandWorth | null;
  onChange: (band: Band | null) => string | null;
}) {
  const words = QUANTITY_WORDS[band.quantity as BandQuantity];
  const fault = bandFault(band);
  const offered = offeredBands(band.quantity);
  const edge = (which: "min" | "max", text: string) => {
    const { [which]: _, ...rest } = band;
    let value: number | null = null;
    const refused = sentenceOf(() => {
      value = readEdge(text);
    });
    return refused ?? onChange(value === null ? rest : { ...rest, [which]: value });
  };
  return (
    <div className="band-row">
      <Tooltip label={words?.meaning} position="top-start">
        <div>
          <NativeSelect
            aria-label={`Quantity of a band of ${of}`}
            value={band.quantity}
            data={BAND_QUANTITIES.map((q) => ({ value: q, label: capital(QUANTITY_WORDS[q].name) }))}
            onChange={(e) => onChange({ ...band, quantity: e.currentTarget.value as BandQuantity })}
          />
        </div>
      </Tooltip>
      <span className="quiet">from</span>
      <Field
        aria-label={`Lower edge, ${words?.unit}`}
        value={band.min === undefined ? "" : String(band.min)}
        placeholder="any"
        onCommit={(text) => edge("min", text)}
      />
      <span className="quiet">to</span>
      <Field
        aria-label={`Upper edge, ${words?.unit}`}
        value={band.max === undefined ? "" : String(band.max)}
        placeholder="any"
        onCommit={(text) => edge("max", text)}
      />
      <span className="quiet">{words?.unit}</span>
      <ActionIcon variant="subtle" color="gray" aria-label="Remove the band" onClick={() => onChange(null)}>
        ✕
      </ActionIcon>
      {offered.length > 0 && (
        <div className="band-offers">
          {offered.map((one) => (
            <Button
              key={one.word}
              variant="subtle"
              size="compact-sm"
              onClick={() => onChange(withEdges(band, one))}
            >
              {one.word}: {edgesWords(one, words?.unit ?? "")}
            </Button>
          ))}
        </div>
      )}
      {worth && !fault && (
        <p className="quiet band-worth">
          {worth.words}
          {worth.tooNarrow && <span className="care"> {worth.tooNarrow}</span>}
        </p>
      )}
      {fault && (
        <p className="band-fault" role="status">
          {fault}
        </p>
      )}
    </div>
  );
}

/** "up to 30°", "30° to 60°", "from 60°" */
function edgesWords({ min, max }: OfferedBand, unit: string): string {
  const sized = (v: number) => withUnit(formatNumber(v, unit === "°" ? 0 : 2), unit);
  if (min !== undefined && max !== undefined) return `${sized(min)} to ${sized(max)}`;
  return max !== undefined ? `up to ${sized(max)}` : `from ${sized(min ?? 0)}`;
}

function readEdge(text: string): number | null {
  const typed = text
    .trim()
    .replace("−", "-")
    .replace(/^(-?\d*),(\d+)$/, "$1.$2");
  if (typed === "") return null;
  const value = readNumber(typed);
  if (value !== null) return value;
  throw new MeasureError(
    "bad-edge",
    `readEdge got "${text}"`,
    `"${text.trim()}" is not a number. Type it like 0.12.`,
  );
}
