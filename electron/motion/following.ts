import { MeasureError } from "../../src/errors.ts";
import { CameraFollower } from "../../src/motion/followCamera.ts";
import { type CameraMotion, judgeMotion } from "../../src/motion/judgeMotion.ts";
import type { Picture } from "../../src/study/types.ts";
import { type Failure, failure } from "../failure.ts";
import { jpegGrey } from "./jpegGrey.ts";

/** A frame in its turn (null = there is no picture of it), or that there are no more. */
export type ToFollow =
  | { readonly kind: "frame"; readonly jpeg: Uint8Array | null }
  | { readonly kind: "end" };

export type Followed =
  | { readonly kind: "taken" }
  | { readonly kind: "followed"; readonly motion: CameraMotion; readonly size: Picture }
  | Failure;

/** One clip's frames, one after the other. */
export class Following {
  readonly #follower = new CameraFollower();
  /** Of each frame: whether there was a picture of it. */
  readonly #shown: boolean[] = [];
  #size: Picture | null = null;

  async take(message: ToFollow): Promise<Followed> {
    try {
      if (message.kind === "end") return this.#end();
      if (message.jpeg) await this.#follow(message.jpeg);
      this.#shown.push(message.jpeg !== null);
      return { kind: "taken" };
    } catch (error) {
      return failure(error, "Looking at the background failed by a mistake in Blademark.");
    }
  }

  async #follow(jpeg: Uint8Array): Promise<void> {
    const grey = await jpegGrey(jpeg);
    this.#size ??= { width: grey.width, height: grey.height };
    this.#follower.add(grey);
  }

  #end(): Followed {
    const size = this.#size;
    if (!size)
      throw new MeasureError("no-frames", "following needs frames", "No frame of this clip could be shown.");
    const { frames, bend } = this.#follower.end();
    let next = 0;
    const found = this.#shown.map((isShown) => (isShown ? (frames[next++] ?? null) : null));
    return { kind: "followed", motion: judgeMotion(found, size, bend), size };
  }
}
