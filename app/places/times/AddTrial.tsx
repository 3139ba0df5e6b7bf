import { Button, NativeSelect } from "@mantine/core";
import { useState } from "react";
import { skaterLabels, techniqueLabels } from "../../../src/study/labels.ts";
import type { Study } from "../../../src/study/types.ts";
import { addTrial } from "../../commands/trials/addTrial.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";

/** A trial nobody planned. */
export function AddTrial({ session, study }: { session: Session; study: Study }) {
  const [skater, setSkater] = useState(study.skaters[0]?.id ?? "");
  const [technique, setTechnique] = useState(study.techniques[0]?.id ?? "");
  const options = (labels: ReadonlyMap<string, string>) =>
    [...labels].map(([value, label]) => ({ value, label }));
  return (
    <div className="add-trial">
      <span className="quiet">One more trial:</span>
      <NativeSelect
        aria-label="Skater of one more trial"
        value={skater}
        data={options(skaterLabels(study, "names"))}
        onChange={(e) => setSkater(e.currentTarget.value)}
      />
      <NativeSelect
        aria-label="Technique of one more trial"
        value={technique}
        data={options(techniqueLabels(study))}
        onChange={(e) => setTechnique(e.currentTarget.value)}
      />
      <Button
        variant="default"
        disabled={skater === "" || technique === ""}
        onClick={() => attempt(session, addTrial, { skater, technique })}
      >
        Add
      </Button>
    </div>
  );
}
