import { Button, TextInput } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import { setCameraPlan } from "../../commands/plan/setCameraPlan.ts";
import { setLane } from "../../commands/plan/setLane.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { KeepButton } from "../shared/KeepButton.tsx";
import { rinkOf } from "../shared/keptRink.ts";
import { type KeptThings, keptAs } from "../shared/useLibrary.ts";

/**
 * A lane kept under a rink's name: its distance, gates, beam, start, place on the rink, camera place and what was measured on its
 * ice, taken over or kept. What was measured is offered in Measure.
 */
export function RinkLine({ session, kept: { library, keep } }: { session: Session; kept: KeptThings }) {
  const [name, setName] = useState("");
  const found = keptAs(library.rinks, name);
  const whole = useStore(session, (s) => s.whole);
  return (
    <div className="add-line kept-line">
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
        onKeep={() => keep({ rinks: [rinkOf(name, whole, found)] })}
      />
    </div>
  );
}
