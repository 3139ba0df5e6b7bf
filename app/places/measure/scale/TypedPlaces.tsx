import { Button, Select, TextInput } from "@mantine/core";
import { type FormEvent, useState } from "react";
import { MeasureError } from "../../../../src/errors.ts";
import { readPairs, readPlace, type TypedPairs, type TypedPlace } from "../core/readPlace.ts";
import type { IceCandidate } from "../core/tool.ts";
import { markPoint, NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";

const PLACE: TypedPlace = { label: "", along: "", across: "", side: "left", known: "" };
const PAIRS: TypedPairs = { from: "0", to: "", every: "6", across: "1.5" };

/** Places measured on site, in the lane's own coordinates: one by one, or pairs along the lane. */
export function TypedPlaces({ m }: { m: Measuring }) {
  const { unit, distance } = m.whole.study.lane;
  const [place, setPlace] = useState(PLACE);
  const [pairs, setPairs] = useState<TypedPairs>({ ...PAIRS, to: unit === "m" ? String(distance) : "" });
  const [known, setKnown] = useState("2 cm");
  const [problem, setProblem] = useState<string | null>(null);

  function add(read: () => readonly IceCandidate[]): boolean {
    try {
      const found = read();
      m.ui.setState(({ typed }) => ({
        typed: [...typed.filter((t) => !found.some((f) => f.label === t.label)), ...found],
        tool: found[0] ? markPoint(found[0]) : NO_TOOL,
      }));
      setProblem(null);
      return true;
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      setProblem(error.coach);
      return false;
    }
  }
  const onPlace = (e: FormEvent) => {
    e.preventDefault();
    if (add(() => [readPlace({ ...place, known }, unit)])) setPlace({ ...place, label: "", along: "" });
  };
  const onPairs = (e: FormEvent) => {
    e.preventDefault();
    add(() => readPairs(pairs, unit, known));
  };
  const field = (key: keyof TypedPairs, label: string) => (
    <TextInput
      size="xs"
      label={label}
      value={pairs[key]}
      onChange={(e) => setPairs({ ...pairs, [key]: e.currentTarget.value })}
    />
  );
  return (
    <div className="typed-places">
      <p className="quiet">
        Lengths in {unit} unless you write another unit (“98 ft 5 in”, “150 cm”). Along is from the start
        line.
      </p>
      <form onSubmit={onPairs}>
        <strong>Things laid in pairs</strong>
        <div className="field-row">
          {field("from", "from")}
          {field("to", "to")}
          {field("every", "every")}
          {field("across", "to each side")}
        </div>
        <Button type="submit" size="compact-sm" variant="light">
          List these pairs
        </Button>
      </form>
      <form onSubmit={onPlace}>
        <strong>One place</strong>
        <div className="field-row">
          <TextInput
            size="xs"
            label="name"
            value={place.label}
            onChange={(e) => setPlace({ ...place, label: e.currentTarget.value })}
          />
          <TextInput
            size="xs"
            label="along"
            value={place.along}
            onChange={(e) => setPlace({ ...place, along: e.currentTarget.value })}
          />
          <TextInput
            size="xs"
            label="across"
            value={place.across}
            disabled={place.side === "middle"}
            onChange={(e) => setPlace({ ...place, across: e.currentTarget.value })}
          />
          <Select
            size="xs"
            label="side"
            data={["left", "middle", "right"]}
            allowDeselect={false}
            value={place.side}
            onChange={(v) => v && setPlace({ ...place, side: v as TypedPlace["side"] })}
          />
        </div>
        <Button type="submit" size="compact-sm" variant="light">
          Add this place
        </Button>
      </form>
      <TextInput
        size="xs"
        label="Places known to ± (95 %)"
        w={220}
        value={known}
        onChange={(e) => setKnown(e.currentTarget.value)}
      />
      {problem && (
        <p className="bad" role="alert">
          {problem}
        </p>
      )}
    </div>
  );
}
