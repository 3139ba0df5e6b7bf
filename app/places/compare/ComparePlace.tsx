import type { PlaceProps } from "../PlaceProps.ts";

export function ComparePlace(_props: PlaceProps) {
  return <h1>Compare</h1>;
}
