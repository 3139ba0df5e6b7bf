import type { ClipJob } from "../jobs/clipJob.ts";
import { isDoubtful, timeOf } from "./storeIndex.ts";

export type FrameAnswer =
  | {
      readonly kind: "frame";
      readonly jpeg: Uint8Array<ArrayBuffer>;
      readonly key: string;
      readonly time: number;
      readonly doubtful: boolean;
    }
  | { readonly kind: "not-yet" }
  | { readonly kind: "beyond"; readonly count: number }
  | { readonly kind: "outside-part"; readonly first: number; readonly last: number }
  | { readonly kind: "no-picture" }
  | { readonly kind: "failed"; readonly reason: string };

/** Exactly frame `n`, or why it cannot be shown now. */
export async function frameAnswer(
  { store, state, failure, source }: ClipJob,
  n: number,
): Promise<FrameAnswer> {
  if (store?.has(n)) {
    const hole = store.frames[n]?.length === 0;
    const jpeg = await store.picture(n);
    // Not what was stored: it is made anew, if that can be.
    if (!jpeg && !hole)
      return state === "failed" ? { kind: "failed", reason: failure?.text ?? "" } : { kind: "not-yet" };
    if (!jpeg) return { kind: "no-picture" };
    const [time, doubtful] = [timeOf(store, n) ?? 0, isDoubtful(store, n)];
    return { kind: "frame", jpeg, key: store.tag, time, doubtful };
  }
  const count = store?.clip?.count ?? null;
  if (count !== null && n >= count) return { kind: "beyond", count };
  const { part } = source;
  if (part && (n < part.first || n > part.last)) return { kind: "outside-part", ...part };
  if (state === "failed") return { kind: "failed", reason: failure?.text ?? "" };
  return { kind: "not-yet" };
}
