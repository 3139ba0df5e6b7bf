import { formatReading } from "../../src/uncertainty/format.ts";
import type { SaidSummary, SoundSummary, ViewSummary, ViewsReadings } from "../../src/views/types.ts";
import { viewsJson } from "../../src/views/viewsJson.ts";
import type { Io } from "./Command.ts";
import { measureText } from "./measureText.ts";

/** Prints what several views say together, warnings to standard error. */
export function tellViews(found: ViewsReadings, json: boolean, io: Io): void {
  const { readings, views } = found;
  for (const { text } of [...(readings.scale?.warnings ?? []), ...readings.warnings]) io.say(text);
  io.out(json ? JSON.stringify(viewsJson(found)) : `${viewsText(views)}\n\n${measureText(readings)}`);
}

/** How each view's clock lies to the first's, a line each. */
export function viewsText(views: readonly ViewSummary[]): string {
  const lines = views.map(({ view, scale, offset, rate, shared, sound, said }) => {
    const scaled = scale ? "" : " No scale of the ice.";
    if (view === 1) return `View 1: its clock counts.${scaled}`;
    return `View ${view}: add ${formatReading(offset, "s")} to its clock; it runs ${formatReading(rate, "")} times as fast; ${shared} ${shared === 1 ? "stride" : "strides"} shared with view 1.${sound ? ` ${soundText(sound)}` : ""}${said ? ` ${saidText(said)}` : ""}${scaled}`;
  });
  return ["Several views of one trial", ...lines].join("\n");
}

function saidText({ offset, events, used }: SaidSummary): string {
  return `As given: add ${formatReading(offset, "s")}; ${usedText(used, events)}.`;
}

function usedText(used: boolean, events: number): string {
  return !used ? "not used" : events === 0 ? "it alone ties the clocks" : "used";
}

function soundText(sound: SoundSummary): string {
  if ("value" in sound) return sound.why;
  const { offset, apart, placesKnown, events, used } = sound;
  const far = placesKnown
    ? `the cameras are ${apart.toFixed(0)} m apart at most`
    : `a camera's place is not known, so they are taken to be no more than ${apart.toFixed(0)} m apart`;
  return `By sound: add ${formatReading(offset, "s")} (${far}); ${usedText(used, events)}.`;
}
