import { Button, TextInput } from "@mantine/core";
import { useState } from "react";
import type { Study } from "../../../src/study/types.ts";
import { setCameraPlan } from "../../commands/plan/setCameraPlan.ts";
import { setLane } from "../../commands/plan/setLane.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { KeepButton } from "./KeepButton.tsx";
import { type KeptThings, keptAs } from "./useLibrary.ts";

/** A lane kept under a rink's name: its distance, gates, beam, start, place on the rink and camera place, taken over or kept. */
export function RinkLine({
  session,
  study,
  kept: { library, keep },
}: {
  session: Session;
  study: Study;
  kept: KeptThings;
}) {
  const [name, setName] = useState("");
  const found = keptAs(library.rinks, name);
  const { lane, cameraPlan } = study;
  return (
    <div className="add-line kept-rink">
      <TextInput
        aria-label="Rink whose lane is kept"
        placeholder={
          library.rinks.length > 0 ? "Rink: choose one, or name this lane" : "Rink's name, to keep this lane"
        }
        {...(library.rinks.length > 0 && { list: "kept-rinks" })}
        value={name}
        onChange={(e) => setName(e.currentTarget.value)}
      />
      <datalist id="kept-rinks">
        {library.rinks.map((r) => (
          <option key={r.name} value={r.name} />
        ))}
      </datalist>
      <Button
        variant="default"
        size="compact-sm"
        disabled={!found}
        onClick={() => {
          if (!found) return;
          const what = `the lane to that of ${found.name}`;
          const done = attempt(session, setLane, { change: found.lane, what });
          if (done && found.cameraPlan) attempt(session, setCameraPlan, { plan: found.cameraPlan, what });
        }}
      >
        Use its lane
      </Button>
      <KeepButton
        label={found ? "Keep anew" : "Keep this lane"}
        disabled={name.trim() === ""}
        onKeep={() => keep({ rinks: [{ name: name.trim(), lane, ...(cameraPlan ? { cameraPlan } : {}) }] })}
      />
    </div>
  );
}
