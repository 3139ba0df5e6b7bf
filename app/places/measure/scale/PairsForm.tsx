import { Button, TextInput } from "@mantine/core";
import { type FormEvent, type MouseEvent, useState } from "react";
import type { TypedPairs } from "../core/readPlace.ts";

const PAIRS: TypedPairs = { from: "0", to: "", every: "6", across: "1.5" };

/** Things laid in pairs along the lane. `to`: how far along the last pair lies unless somebody says otherwise. */
export function PairsForm({ to, read }: { to: string; read: (pairs: TypedPairs) => void }) {
  const [pairs, setPairs] = useState<TypedPairs>({ ...PAIRS, to });
  const onPairs = (e: FormEvent) => {
    e.preventDefault();
    read(pairs);
  };
  const field = (key: keyof TypedPairs, label: string) => (
    <TextInput
      size="xs"
      label={label}
      value={pairs[key]}
      onMouseDown={selectFirst}
      onChange={(e) => setPairs({ ...pairs, [key]: e.currentTarget.value })}
    />
  );
  return (
    <form onSubmit={onPairs}>
      <strong>Things laid in pairs</strong>
      <div className="field-row">
        {field("from", "from")}
        {field("to", "to")}
        {field("every", "every")}
        {field("across", "to each side")}
      </div>
      <Button type="submit" size="compact-sm" variant="light">
        List these pairs
      </Button>
    </form>
  );
}

/** The first press chooses all that stands in a field, as Tab does, so that typing replaces it; the next one sets the caret. */
function selectFirst(e: MouseEvent<HTMLInputElement>): void {
  const field = e.currentTarget;
  if (document.activeElement === field) return;
  e.preventDefault();
  field.focus();
  field.select();
}
