import { Button } from "@mantine/core";
import { useState } from "react";
import type { CameraPlan } from "../../../../src/study/types.ts";
import { KeepButton } from "../../shared/KeepButton.tsx";
import { KeptName } from "../../shared/KeptName.tsx";
import { type KeptThings, keptAs } from "../../shared/useLibrary.ts";

/** A camera set-up kept under a name: where the camera usually stands, taken over or kept. Its lens is kept in Measure. */
export function SetupLine({
  plan,
  kept: { library, keep },
  onUse,
}: {
  readonly plan: CameraPlan;
  readonly kept: KeptThings;
  readonly onUse: (plan: CameraPlan, name: string) => void;
}) {
  const [name, setName] = useState("");
  const offered = library.setups.filter((s) => s.cameraPlan);
  const found = keptAs(library.setups, name);
  return (
    <div className="add-line camera-setup">
      <KeptName
        label="Camera set-up whose place is kept"
        placeholder={
          offered.length > 0
            ? "Camera set-up: choose one, or name this place"
            : "Camera set-up's name, to keep this place"
        }
        offered={offered}
        value={name}
        onChange={setName}
      />
      <Button
        variant="default"
        size="compact-sm"
        disabled={!found?.cameraPlan}
        onClick={() => found?.cameraPlan && onUse(found.cameraPlan, found.name)}
      >
        Use its place
      </Button>
      <KeepButton
        label={found?.cameraPlan ? "Keep anew" : "Keep this place"}
        disabled={name.trim() === ""}
        onKeep={() => keep({ setups: [{ name: found?.name ?? name.trim(), cameraPlan: plan }] })}
      />
    </div>
  );
}
