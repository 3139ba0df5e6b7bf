import type { Pictures } from "./motion/comparing.ts";
import { comparing } from "./motion/comparing.ts";

/** The process that compares two clips' backgrounds; started by `electron/motion/compareApart.ts` and ended by it or with its host. */
process.on("message", (pictures) => {
  void comparing(pictures as Pictures).then((answer) => process.send?.(answer));
});
process.on("disconnect", () => process.exit(0));
