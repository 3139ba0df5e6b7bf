import { seededRandom } from "../../../../src/statistics/seededRandom.ts";
import type { EventFrame, EventName, Side, TrialMarks } from "../../../../src/study/types.ts";
import { type Depth, eventsOf } from "../guide/sequence.ts";
import type { Found, FoundEvent } from "./found.ts";

/** A stride of which something is suggested and not confirmed yet. */
export interface SheetStride {
  /** Frame of its blade-off, and which blade. */
  readonly off: number;
  readonly side: Side;
  /** In the order in which they are confirmed. */
  readonly rows: readonly FoundEvent[];
  /** Confirmed already. */
  readonly done: readonly EventFrame[];
}

/** Confirmed in this order: where the blade was nearest is looked for between the two others. */
const ORDER: readonly EventName[] = ["blade_off", "blade_on", "recovery_min"];

/** Farther from it than this, frames, the same event of the same side belongs to another stride. */
const SAME_STRIDE = 8;

/** What is found, the row at hand among it as it was when another of its frames was picked. */
export function withHeld(found: Found, held: FoundEvent | null): Found {
  if (!held) return found;
  return { ...found, events: [...found.events.filter((e) => !isSameRow(e, held)), held] };
}

/**
 * Strides left to confirm, those next to what is confirmed first: blades look most alike there. The last ones marked
 * are where the skater was largest, so it goes from there to where she is small.
 */
export function stridesLeft(found: Found, marks: TrialMarks, depth: Depth): SheetStride[] {
  const wanted = ORDER.filter((event) => eventsOf(depth).includes(event));
  const strides = (["left", "right"] as const).flatMap((side) => stridesOf(found, marks, wanted, side));
  const known = marks.events.filter((e) => e.event === "blade_off").map((e) => e.frame);
  const away = ({ off }: SheetStride) => Math.min(...known.map((frame) => Math.abs(frame - off)));
  // A stride that was begun comes first: its blade-off is confirmed, so it is no distance away.
  return strides.filter((s) => s.rows.length > 0).sort((a, b) => away(a) - away(b) || b.off - a.off);
}

function stridesOf(
  { events }: Found,
  marks: TrialMarks,
  wanted: readonly EventName[],
  side: Side,
): SheetStride[] {
  const confirmed = marks.events.filter((e) => e.side === side);
  const isOff = (e: { event: EventName; side: Side }) => e.event === "blade_off" && e.side === side;
  const offs = [...confirmed, ...events]
    .filter(isOff)
    .map((e) => e.frame)
    .sort((a, b) => a - b);
  return offs.map((off, i) => {
    const next = offs[i + 1] ?? Number.POSITIVE_INFINITY;
    const rows = wanted.flatMap((event) => {
      const within = (e: { event: EventName; frame: number }) =>
        e.event === event && e.frame >= off && e.frame < next;
      if (confirmed.some(within)) return [];
      const row = events.find((e) => e.side === side && within(e));
      return row ? [row] : [];
    });
    const done = wanted.flatMap(
      (event) => confirmed.find((e) => e.event === event && e.frame >= off && e.frame < next) ?? [],
    );
    return { off, side, rows, done };
  });
}

/** Rows confirmed on the sheet so far, and how many of them were blind checks. */
export function rowsTaken({ events }: TrialMarks): { taken: number; checks: number } {
  const taken = events.filter((e) => e.suggested);
  return { taken: taken.length, checks: taken.filter((e) => e.suggested?.blind).length };
}

const BLIND_EVERY = 8;
/** The first comes early: until then nothing tells how suggestions err on this clip. */
const FIRST_BLIND = 3;

/**
 * Which of a stride's rows stay hidden until the coach has marked: one in eight over the trial. A row that was in sight before
 * is no blind check, whatever its number has become; the next one that was not is.
 */
export function blindAmong<T>(
  rows: readonly T[],
  { taken, checks }: { readonly taken: number; readonly checks: number },
  wasInSight: (row: T) => boolean,
): boolean[] {
  let done = checks;
  return rows.map((row, k) => {
    const due = Math.floor((taken + k + BLIND_EVERY - FIRST_BLIND) / BLIND_EVERY);
    if (done >= due || wasInSight(row)) return false;
    done++;
    return true;
  });
}

/** Whether both are one row, found again after something was confirmed. */
export function isSameRow(a: FoundEvent, b: FoundEvent): boolean {
  return a.event === b.event && a.side === b.side && Math.abs(a.frame - b.frame) <= SAME_STRIDE;
}

/** Frames shown beside each other. */
export const SHOWN = 5;

/** First of the frames shown about a suggested one. Where that is hidden it is the middle one no more often than its neighbours. */
export function firstShown(row: FoundEvent, blind: HiddenBy | null): number {
  const aside = blind ? Math.floor(3 * blind("frames")) - 1 : 0;
  return Math.max(0, row.frame - (SHOWN >> 1) + aside);
}

/** Numbers in [0, 1) by which a hidden suggestion is not where one would look for it: the same each time for the same name. */
export type HiddenBy = (name: string) => number;

/** @param row what the numbers belong to: a trial, an event, a count */
export function hiddenBy(row: string): HiddenBy {
  return (name) => {
    // FNV-1a, 32 bits.
    let h = 0x811c9dc5;
    for (const letter of `${row} ${name}`) h = Math.imul(h ^ letter.charCodeAt(0), 0x01000193);
    return seededRandom(h)();
  };
}

/** Whether there is room in the clip for a stride that nobody has marked. */
export function hasMore({ events }: TrialMarks, first: number, last: number): boolean {
  const offs = events
    .filter((e) => e.event === "blade_off")
    .map((e) => e.frame)
    .sort((a, b) => a - b);
  const gaps = offs.slice(1).map((f, i) => f - (offs[i] as number));
  if (gaps.length === 0) return false;
  const push = Math.min(...gaps);
  const cycle = 2 * push;
  const free = [(offs[0] as number) - first, last - Math.max(...events.map((e) => e.frame)), ...gaps];
  return free.some((frames, k) => frames > (k < 2 ? 1.5 : 1.2) * cycle);
}
