import type { OrWhy } from "../reading.ts";
import { mean } from "../statistics/mean.ts";
import type { Mark } from "../study/types.ts";

/** How far marks of the same point of the same frame lie apart when different people put them. */
export interface ObserverScatter {
  /** SD of one observer's mark around what all observers mark on average, px per coordinate. */
  readonly value: number;
  readonly observers: number;
  /** Points that two or more of them marked. */
  readonly points: number;
}

/**
 * Each observer's passes are averaged first, so that their own scatter counts once; both coordinates are pooled. It
 * is at least the scatter within an observer (`src/marks/markingSd.ts`) and more where they see a point elsewhere.
 *
 * @param clips marks of each clip; observers as in `marks.csv`
 * @see JCGM 100:2008 (GUM), 4.2.4: pooled experimental standard deviation
 */
export function observerScatter(clips: readonly (readonly Mark[])[]): OrWhy<ObserverScatter> {
  const names = new Set(clips.flat().map((m) => m.observer ?? ""));
  let [squares, df, points] = [0, 0, 0];
  for (const group of clips.flatMap(byPoint)) {
    const observers = [...new Set(group.map((m) => m.observer ?? ""))];
    if (observers.length < 2) continue;
    points++;
    df += 2 * (observers.length - 1);
    for (const axis of ["xPx", "yPx"] as const) {
      const means = observers.map((name) =>
        mean(group.filter((m) => (m.observer ?? "") === name).map((m) => m[axis])),
      );
      const centre = mean(means);
      squares += means.reduce((sum, v) => sum + (v - centre) ** 2, 0);
    }
  }
  if (df === 0) return { value: null, why: "No point is marked by two people." };
  return { value: Math.sqrt(squares / df), observers: names.size, points };
}

function byPoint(clip: readonly Mark[]): Mark[][] {
  const found = new Map<string, Mark[]>();
  for (const mark of clip) {
    const key = `${mark.frame}|${mark.point}|${mark.side}`;
    found.set(key, [...(found.get(key) ?? []), mark]);
  }
  return [...found.values()];
}
