import { createStore, type StoreApi } from "zustand/vanilla";
import type { SuggestNews } from "../../../../src/study/exchange.ts";
import type { MeasureStore } from "../core/measureState.ts";

/** How far looking for suggestions is; null = nothing is being looked for. */
export type SheetNews = SuggestNews & { readonly kind: "progress" };

const known = new WeakMap<MeasureStore, StoreApi<{ readonly news: SheetNews | null }>>();

/** Beside what the person chose, not among it: it comes ten times a second, and the picture must not be drawn anew for it. */
export function sheetNewsOf(ui: MeasureStore): StoreApi<{ readonly news: SheetNews | null }> {
  const before = known.get(ui);
  if (before) return before;
  const store = createStore<{ readonly news: SheetNews | null }>(() => ({ news: null }));
  known.set(ui, store);
  return store;
}
