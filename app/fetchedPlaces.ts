import { type ComponentType, lazy } from "react";
import type { Place } from "../src/study/places.ts";
import type { PlaceProps } from "./places/shared/PlaceProps.ts";

type PlaceComponent = ComponentType<PlaceProps>;

const FETCH: Readonly<Record<Place, () => Promise<PlaceComponent>>> = {
  plan: async () => (await import("./places/plan/PlanPlace.tsx")).PlanPlace,
  times: async () => (await import("./places/times/TimesPlace.tsx")).TimesPlace,
  measure: async () => (await import("./places/measure/MeasurePlace.tsx")).MeasurePlace,
  compare: async () => (await import("./places/compare/ComparePlace.tsx")).ComparePlace,
  report: async () => (await import("./places/report/ReportPlace.tsx")).ReportPlace,
};

const fetched = new Map<Place, PlaceComponent>();
const waitedFor = new Map<Place, PlaceComponent>();

/** Fetches the code of a place; it opens at once from then on. Rejects when the program behind the window is gone. */
export async function fetchPlace(place: Place): Promise<void> {
  if (!fetched.has(place)) fetched.set(place, await FETCH[place]());
}

/**
 * The place, or one that is waited for. React shows what stands in for a place that is waited for no shorter than a
 * third of a second, so those fetched already are given as they are.
 */
export function placeComponent(place: Place): PlaceComponent {
  const waited = waitedFor.get(place);
  if (waited) return waited;
  const there = fetched.get(place);
  if (there) return there;
  const coming = lazy(async () => {
    try {
      return { default: await FETCH[place]() };
    } catch (error) {
      // The next time it is opened it is asked for again.
      waitedFor.delete(place);
      throw error;
    }
  });
  waitedFor.set(place, coming);
  return coming;
}
