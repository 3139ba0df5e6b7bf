import { Button } from "@mantine/core";
import { useState } from "react";
import type { Lens } from "../../../../src/study/types.ts";
import { setLens } from "../../../commands/ice/setLens.ts";
import { attempt } from "../../../store/attempt.ts";
import { KeepButton } from "../../shared/KeepButton.tsx";
import { KeptName } from "../../shared/KeptName.tsx";
import { keptAs, useLibrary } from "../../shared/useLibrary.ts";
import type { Measuring } from "../core/useMeasure.ts";

/**
 * The lens of a camera set-up that is kept, taken over; or the one given here kept. What ice points tell of a lens has a ± and is
 * not kept: given, it would count as known.
 */
export function KeptLens({
  m,
  lens,
}: {
  m: Pick<Measuring, "session" | "shell" | "trial" | "readOnly">;
  lens: Lens | undefined;
}) {
  const { library, keep } = useLibrary(m.shell);
  const [name, setName] = useState("");
  const offered = library.setups.filter((s) => s.lens);
  const found = keptAs(library.setups, name);
  if (m.readOnly || (offered.length === 0 && !lens)) return null;
  return (
    <div className="add-line kept-line">
      <KeptName
        label="Camera set-up whose lens is kept"
        placeholder={lens ? "Camera set-up: name it, to keep this lens" : "Camera set-up: choose one"}
        offered={offered}
        small
        value={name}
        onChange={setName}
      />
      <Button
        variant="default"
        size="compact-sm"
        disabled={!found?.lens}
        onClick={() => found?.lens && attempt(m.session, setLens, { trial: m.trial.id, lens: found.lens })}
      >
        Use its lens
      </Button>
      {lens && (
        <KeepButton
          label={found?.lens ? "Keep anew" : "Keep this lens"}
          disabled={name.trim() === ""}
          onKeep={() => keep({ setups: [{ name: found?.name ?? name.trim(), lens }] })}
        />
      )}
    </div>
  );
}
