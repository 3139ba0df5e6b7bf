import type { PlaceProps } from "../PlaceProps.ts";

export function ReportPlace(_props: PlaceProps) {
  return <h1>Report</h1>;
}
