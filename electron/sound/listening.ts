import { type LagFound, soundLag } from "../../src/views/sound/soundLag.ts";
import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { type Failure, failure } from "../failure.ts";

/** Two clips' sound, to be laid over each other. */
export interface ToListen {
  readonly kind: "listen";
  readonly first: SoundTrack;
  readonly second: SoundTrack;
}

export type Listened = { readonly kind: "listened"; readonly found: LagFound } | Failure;

/** What `soundLag` says of two tracks, or what went wrong. */
export function listening({ first, second }: ToListen): Listened {
  try {
    return { kind: "listened", found: soundLag(first, second) };
  } catch (error) {
    return failure(
      error,
      "Listening failed by a mistake in Blademark. Pick two events that both views show instead.",
    );
  }
}
