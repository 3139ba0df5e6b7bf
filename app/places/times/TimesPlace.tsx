import type { PlaceProps } from "../PlaceProps.ts";

export function TimesPlace(_props: PlaceProps) {
  return <h1>Times</h1>;
}
