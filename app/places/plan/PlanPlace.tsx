import type { PlaceProps } from "../PlaceProps.ts";

export function PlanPlace(_props: PlaceProps) {
  return <h1>Plan</h1>;
}
