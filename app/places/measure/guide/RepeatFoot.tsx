import { Button, NumberInput, TextInput } from "@mantine/core";
import { useStore } from "zustand";
import type { MeasureStore } from "../core/measureState.ts";
import { FIRST_PASS } from "../core/pass.ts";

/** While a trial is marked again: which time, by whom, and the way back. */
export function RepeatFoot({ ui }: { ui: MeasureStore }) {
  const pass = useStore(ui, (s) => s.pass);
  return (
    <>
      <NumberInput
        label="Marking no."
        size="xs"
        w={84}
        min={2}
        max={9}
        value={pass.pass}
        onChange={(value) =>
          typeof value === "number" &&
          value >= 2 &&
          ui.setState({ pass: { ...pass, pass: Math.round(value) } })
        }
      />
      <TextInput
        label="Who marks"
        size="xs"
        w={110}
        placeholder="not said"
        value={pass.observer}
        onChange={(e) => ui.setState({ pass: { ...pass, observer: e.currentTarget.value.trim() } })}
      />
      <Button
        size="compact-sm"
        variant="default"
        onClick={() => ui.setState({ pass: FIRST_PASS, selected: null })}
      >
        Back to the first marks
      </Button>
    </>
  );
}
