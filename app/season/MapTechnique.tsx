import { NativeSelect } from "@mantine/core";
import type { KnownStudy } from "../../src/study/exchange.ts";

/** Which of an evening's techniques is meant where none has the name. */
export function MapTechnique({
  technique,
  evening,
  value,
  onValue,
}: {
  readonly technique: string;
  readonly evening: KnownStudy;
  readonly value: string;
  readonly onValue: (name: string) => void;
}) {
  return (
    <NativeSelect
      label={`What is “${technique}” called in ${evening.folder.split(/[/\\]/).at(-1)}?`}
      value={value}
      data={[{ value: "", label: "It is not there" }, ...evening.techniques]}
      onChange={(e) => onValue(e.currentTarget.value)}
    />
  );
}
