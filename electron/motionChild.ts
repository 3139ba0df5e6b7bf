import type { Pictures } from "./motion/comparing.ts";
import { comparing } from "./motion/comparing.ts";
import { Following, type ToFollow } from "./motion/following.ts";
import { listening, type ToListen } from "./sound/listening.ts";

/**
 * The process that looks at clips' backgrounds, of two clips or frame after frame of one, or lays their sound over each other; started
 * by `electron/motion` and ended by whoever asked or with its host.
 */
const following = new Following();
process.on("message", (message: Pictures | ToFollow | ToListen) => {
  if (!("kind" in message)) return answer(comparing(message));
  return answer(message.kind === "listen" ? listening(message) : following.take(message));
});
process.on("disconnect", () => process.exit(0));

function answer(said: unknown): void {
  void Promise.resolve(said).then((what) => process.send?.(what));
}
