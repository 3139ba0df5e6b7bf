import type { Pictures } from "./motion/comparing.ts";
import { comparing } from "./motion/comparing.ts";
import { Following, type ToFollow } from "./motion/following.ts";

/**
 * The process that looks at clips' backgrounds, of two clips or frame after frame of one; started by `electron/motion` and ended by
 * it or with its host.
 */
const following = new Following();
process.on("message", (message: Pictures | ToFollow) => {
  const answer = "kind" in message ? following.take(message) : comparing(message);
  void answer.then((said) => process.send?.(said));
});
process.on("disconnect", () => process.exit(0));
