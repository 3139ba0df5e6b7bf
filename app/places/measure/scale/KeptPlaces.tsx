import { Button } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import { KeepButton } from "../../shared/KeepButton.tsx";
import { KeptName } from "../../shared/KeptName.tsx";
import { rinkOf, sameLane } from "../../shared/keptRink.ts";
import { keptAs, useLibrary } from "../../shared/useLibrary.ts";
import { markPoint, NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";

/** Places measured on a rink's ice once, listed again under its name, or those of this study kept for the next time. */
export function KeptPlaces({ m }: { m: Pick<Measuring, "shell" | "ui" | "whole"> }) {
  const { library, keep } = useLibrary(m.shell);
  const typed = useStore(m.ui, (s) => s.typed);
  const [name, setName] = useState("");
  const rinks = library.rinks.filter((r) => r.markings);
  const found = keptAs(library.rinks, name);
  const markings = found?.markings ?? [];
  return (
    <div>
      <strong>Measured in a rink before</strong>
      <div className="add-line kept-line">
        <KeptName
          label="Rink whose measured places are kept"
          placeholder={
            rinks.length > 0 ? "Rink: choose one, or name this one" : "Rink's name, to keep these places"
          }
          offered={rinks}
          small
          value={name}
          onChange={setName}
        />
        <Button
          variant="default"
          size="compact-sm"
          disabled={markings.length === 0}
          onClick={() =>
            m.ui.setState((before) => ({
              typed: [...before.typed.filter((t) => !markings.some((k) => k.label === t.label)), ...markings],
              tool: markings[0] ? markPoint(markings[0]) : NO_TOOL,
            }))
          }
        >
          List its places
        </Button>
        <KeepButton
          label={found ? "Keep anew" : "Keep these places"}
          disabled={name.trim() === ""}
          onKeep={() => keep({ rinks: [rinkOf(found?.name ?? name, m.whole, found, typed)] })}
        />
      </div>
      {found && markings.length > 0 && (
        <p className={sameLane(found.lane, m.whole.study.lane) ? "quiet" : "care"}>
          {plural(markings.length, "place")}, measured from the start line and the middle of the lane there
          {sameLane(found.lane, m.whole.study.lane)
            ? "."
            : ". This study's lane is another one: where it begins elsewhere they are wrong here."}
        </p>
      )}
    </div>
  );
}
