import type { IcePoint, IceRecheck, Lens, LikeClip } from "../../study/types.ts";
import type { LearnedLens } from "../camera/learnedLens.ts";

/** One clip of a camera set-up, as its joint scale is worked out from. */
export interface SetupClip {
  readonly trial: string;
  /** Ice points marked on this clip; may be none. */
  readonly points: readonly IcePoint[];
  readonly rechecks?: readonly IceRecheck[];
  readonly like?: LikeClip;
}

/** All clips of a set-up. The same object as long as nothing in it has changed, so that its joint fit is made once. */
export interface SetupClips {
  readonly id: string;
  readonly name: string;
  readonly lens?: Lens;
  /** What other clips of the same camera, or straight lines, have shown of its lens. */
  readonly learned?: LearnedLens;
  /** One clip that is in no set-up, fitted so for its lens alone. */
  readonly isAlone?: true;
  readonly clips: readonly SetupClip[];
}

/** The scale of one clip of a set-up: what `fitScale` takes where no ice reference of the clip alone is meant. */
export interface SetupReference {
  readonly kind: "set-up";
  readonly setup: SetupClips;
  /** Trial whose clip is measured. */
  readonly trial: string;
  /** Where the "clips" are pieces of one clip between knocks: from which frame on each holds, in order. */
  readonly pieces?: readonly { readonly from: number; readonly trial: string }[];
}
