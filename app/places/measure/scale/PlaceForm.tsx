import { Button, Select, TextInput } from "@mantine/core";
import { type FormEvent, useState } from "react";
import type { TypedPlace } from "../core/readPlace.ts";

const PLACE: TypedPlace = { label: "", along: "", across: "", side: "left", known: "" };

/** One place on the ice. `read` says whether it could be read; then the next one can be typed. */
export function PlaceForm({ read }: { read: (place: TypedPlace) => boolean }) {
  const [place, setPlace] = useState(PLACE);
  const onPlace = (e: FormEvent) => {
    e.preventDefault();
    if (read(place)) setPlace({ ...place, label: "", along: "" });
  };
  return (
    <form onSubmit={onPlace}>
      <strong>One place</strong>
      <div className="field-row">
        <TextInput
          size="xs"
          label="name"
          value={place.label}
          onChange={(e) => setPlace({ ...place, label: e.currentTarget.value })}
        />
        <TextInput
          size="xs"
          label="along"
          value={place.along}
          onChange={(e) => setPlace({ ...place, along: e.currentTarget.value })}
        />
        <TextInput
          size="xs"
          label="across"
          value={place.across}
          disabled={place.side === "middle"}
          onChange={(e) => setPlace({ ...place, across: e.currentTarget.value })}
        />
        <Select
          size="xs"
          label="side"
          data={["left", "middle", "right"]}
          allowDeselect={false}
          value={place.side}
          onChange={(v) => v && setPlace({ ...place, side: v as TypedPlace["side"] })}
        />
      </div>
      <Button type="submit" size="compact-sm" variant="light">
        Add this place
      </Button>
    </form>
  );
}
