import { compareClips, type NotAlike, type TurnBetween } from "../../src/motion/compareClips.ts";
import type { Grey } from "../../src/motion/grey.ts";
import { type Failure, failure } from "../failure.ts";
import { jpegGrey } from "./jpegGrey.ts";

/** Frames of two clips as they are kept, spread from start to end. */
export interface Pictures {
  readonly like: readonly Uint8Array[];
  readonly clip: readonly Uint8Array[];
}

export type Compared = { readonly kind: "compared"; readonly found: TurnBetween | NotAlike } | Failure;

/** What `compareClips` says of frames as they are kept, or what went wrong. */
export async function comparing({ like, clip }: Pictures): Promise<Compared> {
  try {
    return { kind: "compared", found: compareClips(await greys(like), await greys(clip)) };
  } catch (error) {
    return failure(
      error,
      "Comparing failed by a mistake in Blademark. Press two or three ice points instead.",
    );
  }
}

async function greys(jpegs: readonly Uint8Array[]): Promise<Grey[]> {
  const all: Grey[] = [];
  for (const jpeg of jpegs) all.push(await jpegGrey(jpeg));
  return all;
}
