import { MeasureError } from "../errors.ts";
import { headOf } from "./pastedHeads.ts";

/** Longer than any sprint; catches a time typed in milliseconds or without its point. */
const LONGEST = 600;

/**
 * A photocell time as it is typed or pasted: "4.87", "4,87", "4.87 s", "0:04.87"; blank = null, not skated.
 *
 * @throws {MeasureError} `bad-time`
 */
export function readTime(text: string): number | null {
  const typed = text.trim();
  if (typed === "") return null;
  // Stopwatches show minutes before a colon; no sprint takes one.
  const number = /^(?:00?:)?(\d+(?:[.,]\d*)?|[.,]\d+)\s*(?:s|sec|seconds)?$/i.exec(typed)?.[1];
  const time = number === undefined ? Number.NaN : Number(number.replace(",", "."));
  if (time > 0 && time < LONGEST) return time;
  const shown = typed.length > 30 ? `${typed.slice(0, 30)}…` : typed;
  throw new MeasureError(
    "bad-time",
    `readTime needs seconds between 0 and ${LONGEST}, got "${typed}"`,
    `"${shown}" is not a time in seconds, so the old value stays. Type it like 4.87, or leave it blank.`,
    { text: typed },
  );
}

/**
 * A pasted column of times, one a line; blank lines stay blank trials, and a heading that says "time" is skipped (any other
 * word may stand for a trial without a time). Null when it is no single column.
 *
 * @throws {MeasureError} `bad-times`, naming every line that is no time
 */
export function readPastedTimes(text: string): (number | null)[] | null {
  const lines = text.replace(/(\r\n|\r|\n)$/, "").split(/\r\n|\r|\n/);
  if (lines.some((line) => line.trim().includes("\t"))) return null;
  const headed = headOf(lines[0] ?? "") === "time" ? 1 : 0;
  const bad: string[] = [];
  const times = lines.slice(headed).map((line, i) => {
    try {
      return readTime(line);
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      bad.push(`line ${i + 1 + headed}: "${line.trim().slice(0, 30)}"`);
      return null;
    }
  });
  if (bad.length === 0) return times;
  throw new MeasureError(
    "bad-times",
    `readPastedTimes needs one time a line; ${bad.join(", ")}`,
    `Nothing was pasted, because not every line is a time in seconds: ${bad.join(", ")}.`,
    { lines: bad },
  );
}

/** A time as it was typed, with at least two decimals: 4.6 as "4.60", 4.512 as "4.512". */
export function timeText(time: number): string {
  return alignedTime(time, 2);
}

/** A time beside others that have `places` decimals; none of its own is cut. */
export function alignedTime(time: number, places: number): string {
  return time.toFixed(Math.max(places, typedPlaces(time)));
}

/** Decimals for times that stand together: as many as the longest has, at least two. */
export function timePlaces(times: readonly (number | null)[]): number {
  return Math.max(2, ...times.map((time) => (time === null ? 0 : typedPlaces(time))));
}

function typedPlaces(time: number): number {
  return String(time).split(".")[1]?.length ?? 0;
}
