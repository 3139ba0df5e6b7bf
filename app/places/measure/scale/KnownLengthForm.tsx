import { Button, TextInput } from "@mantine/core";
import { type FormEvent, useState } from "react";
import { useStore } from "zustand";
import { MeasureError } from "../../../../src/errors.ts";
import { lengthText, readLength } from "../../../../src/study/length.ts";
import { removeKnownLength } from "../../../commands/ice/removeKnownLength.ts";
import { attempt } from "../../../store/attempt.ts";
import { readKnown } from "../core/readPlace.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** Lengths lying on the ice: typed here, then laid on the frame by its two ends. */
export function KnownLengthForm({
  m,
}: {
  m: Pick<Measuring, "session" | "ui" | "whole" | "trial" | "marks">;
}) {
  const { unit } = m.whole.study.lane;
  const laying = useStore(m.ui, (s) => s.tool.kind === "length");
  const [text, setText] = useState("");
  const [known, setKnown] = useState("1 cm");
  const [problem, setProblem] = useState<string | null>(null);
  const reference = m.marks.iceReference;
  const lengths = reference?.kind === "known-lengths" ? reference.lengths : [];

  const lay = (e: FormEvent) => {
    e.preventDefault();
    try {
      const length = readLength(text, unit).metres;
      m.ui.setState({ tool: { kind: "length", length, u: readKnown(known, unit), from: null } });
      setProblem(null);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      setProblem(error.coach);
    }
  };
  return (
    <div className="typed-places">
      <p className="quiet">
        One length is true only at its own distance from the camera: 20 m away, ± 5 % for each metre nearer or
        farther. Two or more at different distances allow stride width; ice points are better than both.
      </p>
      <form onSubmit={lay}>
        <div className="field-row">
          <TextInput
            size="xs"
            label={`length, in ${unit} or with a unit`}
            value={text}
            onChange={(e) => setText(e.currentTarget.value)}
          />
          <TextInput
            size="xs"
            label="known to ± (95 %)"
            value={known}
            onChange={(e) => setKnown(e.currentTarget.value)}
          />
        </div>
        <Button type="submit" size="compact-sm" variant="light">
          {laying ? "Now press its two ends on the frame" : "Lay it on the frame"}
        </Button>
      </form>
      {problem && (
        <p className="bad" role="alert">
          {problem}
        </p>
      )}
      <ul className="copy-list">
        {lengths.map((l, i) => (
          <li key={`${l.x1Px} ${l.y1Px} ${l.x2Px} ${l.y2Px}`}>
            <span className="number">
              Length {i + 1}: {lengthText(l.length, unit)}
            </span>
            <button
              type="button"
              className="plain-button"
              aria-label={`Remove known length ${i + 1}`}
              onClick={() => attempt(m.session, removeKnownLength, { trial: m.trial.id, index: i })}
            >
              Remove
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
