import { looker } from "./suggest/looker.ts";
import type { ToLooker } from "./suggest/messages.ts";

/** The process that looks at clips; started by `electron/suggest/Suggester.ts` and ended with its host. */
looker({
  send: (message) => process.send?.(message),
  hear: (listen) => process.on("message", (message) => listen(message as ToLooker)),
});
process.on("disconnect", () => process.exit(0));
