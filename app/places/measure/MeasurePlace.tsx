import type { PlaceProps } from "../PlaceProps.ts";

export function MeasurePlace(_props: PlaceProps) {
  return <h1>Measure</h1>;
}
