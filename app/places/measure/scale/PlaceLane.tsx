import { Button, Select, TextInput } from "@mantine/core";
import { type FormEvent, useState } from "react";
import { MeasureError } from "../../../../src/errors.ts";
import { RINKS } from "../../../../src/ice/rink/rinkMarkings.ts";
import { readSignedLength } from "../../../../src/study/length.ts";
import type { LanePlacement } from "../../../../src/study/types.ts";
import { setLane } from "../../../commands/plan/setLane.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** Where the lane lies on the rink: rink markings have no place in the lane without it. */
export function PlaceLane({ m, onDone }: { m: Pick<Measuring, "session" | "whole">; onDone: () => void }) {
  const { unit, placement } = m.whole.study.lane;
  const [typed, setTyped] = useState(() => ({
    rink: placement?.rink ?? RINKS[0]?.key ?? "",
    startX: placement ? String(placement.startX) : "",
    startY: placement ? String(placement.startY) : "0",
    heading: String(placement?.headingDeg ?? 0),
  }));
  const [problem, setProblem] = useState<string | null>(null);

  const place = (e: FormEvent) => {
    e.preventDefault();
    try {
      const next: LanePlacement = {
        rink: typed.rink,
        startX: readSignedLength(typed.startX, unit),
        startY: readSignedLength(typed.startY, unit),
        headingDeg: readHeading(typed.heading),
      };
      setProblem(null);
      const change = { placement: next };
      if (attempt(m.session, setLane, { change, what: "where the lane lies on the rink" })) onDone();
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      setProblem(error.coach);
    }
  };
  const text = (key: "startX" | "startY" | "heading", label: string) => (
    <TextInput
      size="xs"
      label={label}
      value={typed[key]}
      onChange={(e) => setTyped({ ...typed, [key]: e.currentTarget.value })}
    />
  );
  return (
    <form onSubmit={place} className="place-lane">
      <strong>Where does the lane lie on the rink?</strong>
      <Select
        size="xs"
        label="rink"
        w="100%"
        allowDeselect={false}
        data={RINKS.map((r) => ({ value: r.key, label: r.name }))}
        value={typed.rink}
        onChange={(v) => v && setTyped({ ...typed, rink: v })}
      />
      <div className="field-row">
        {text("startX", `start from the centre spot, along the rink (${unit})`)}
        {text("startY", `and to the left (${unit})`)}
      </div>
      <div className="field-row">
        {text("heading", "direction of skating (°): 0 along the rink, 180 back")}
      </div>
      <p className="quiet">
        The rink is seen from above, its end A on the left. A minus means the other way. Ice points already
        marked keep the places they were given.
      </p>
      <Button type="submit" size="compact-sm">
        Place the lane
      </Button>
      {problem && (
        <p className="bad" role="alert">
          {problem}
        </p>
      )}
    </form>
  );
}

/** @throws {MeasureError} `bad-heading` */
function readHeading(text: string): number {
  const degrees = Number(text.replace("°", "").replace("−", "-").replace(",", ".").trim());
  if (text.trim() !== "" && Number.isFinite(degrees) && Math.abs(degrees) <= 360) return degrees;
  throw new MeasureError(
    "bad-heading",
    `readHeading needs -360..360 degrees, got ${text}`,
    `"${text}" is not a direction. Write degrees, for example 0, 90 or 180.`,
  );
}
