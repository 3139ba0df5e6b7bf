import { useEffect, useRef } from "react";
import type { Measuring } from "../core/useMeasure.ts";
import type { FoundEvent } from "./found.ts";
import { blindAmong, type HiddenBy, hiddenBy, isSameRow, rowsTaken } from "./sheetStrides.ts";

/** For each row of the stride by what its suggestion is hidden; null = it is in sight, and then for good. */
export function useBlinds(
  m: Pick<Measuring, "trial" | "marks">,
  rows: readonly FoundEvent[],
): (HiddenBy | null)[] {
  const inSight = useRef<FoundEvent[]>([]);
  const wasInSight = (row: FoundEvent) => inSight.current.some((seen) => isSameRow(seen, row));
  const count = rowsTaken(m.marks);
  const blinds = blindAmong(rows, count, wasInSight).map((isBlind, k) =>
    isBlind && rows[k] ? hiddenBy(`${m.trial.id} ${rows[k].event} ${rows[k].side} ${count.taken + k}`) : null,
  );
  useEffect(() => {
    const shown = rows.filter((row, k) => !blinds[k] && !wasInSight(row));
    if (shown.length > 0) inSight.current = [...inSight.current, ...shown];
  });
  return blinds;
}
