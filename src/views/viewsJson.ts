import { markingJson, measureJson, scaleJson } from "../kinematics/measureJson.ts";
import type { SoundSummary, ViewSummary, ViewsReadings } from "./types.ts";

/** The `blademark.measure` document of several views: as one trial's, and what each view is. */
export function viewsJson({ readings, views }: ViewsReadings): object {
  return { ...measureJson(readings), views: views.map(viewJson) };
}

function viewJson({
  view,
  scale,
  scaleWhy,
  marking,
  runner,
  offset,
  at,
  rate,
  shared,
  sound,
  said,
}: ViewSummary): object {
  return {
    view,
    scale: scale ? scaleJson(scale) : { value: null, why: scaleWhy },
    offset_s: offset,
    at_s: at,
    rate,
    shared_strides: shared,
    runner_m:
      runner.value === null ? { value: null, why: runner.why } : { value: runner.value, u95: runner.u95 },
    marking: markingJson(marking),
    ...(sound && { sound: soundJson(sound) }),
    ...(said && { said: { offset_s: said.offset, events: said.events, used: said.used } }),
  };
}

function soundJson(sound: SoundSummary): object {
  if ("value" in sound) return { value: null, why: sound.why };
  const { offset, at, rate, apart, placesKnown, events, used } = sound;
  return {
    offset_s: offset,
    at_s: at,
    rate: "why" in rate ? { value: null, why: rate.why } : rate,
    cameras_apart_m: { most: apart, places_known: placesKnown },
    events,
    used,
  };
}
