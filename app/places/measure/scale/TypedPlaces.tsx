import { TextInput } from "@mantine/core";
import { useState } from "react";
import { MeasureError } from "../../../../src/errors.ts";
import { readPairs, readPlace } from "../core/readPlace.ts";
import type { IceCandidate } from "../core/tool.ts";
import { markPoint, NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { KeptPlaces } from "./KeptPlaces.tsx";
import { PairsForm } from "./PairsForm.tsx";
import { PlaceForm } from "./PlaceForm.tsx";

/** Places measured on site, in the lane's own coordinates: one by one, or pairs along the lane. */
export function TypedPlaces({ m }: { m: Pick<Measuring, "shell" | "ui" | "whole"> }) {
  const { unit, distance } = m.whole.study.lane;
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
  return (
    <div className="typed-places">
      <p className="quiet">
        Lengths in {unit} unless you write another unit (“98 ft 5 in”, “150 cm”). Along is from the start
        line.
      </p>
      <KeptPlaces m={m} />
      <PairsForm
        read={(pairs) => add(() => readPairs(pairs, unit, known))}
        to={unit === "m" ? String(distance) : ""}
      />
      <PlaceForm read={(place) => add(() => [readPlace({ ...place, known }, unit)])} />
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
