// npm run check: format, lint, rooms and types, the whole tree.
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureInstalled } from "./install.mjs";
import { checkRooms } from "./rooms.mjs";
import { root, runToEnd, say } from "./run.mjs";

/** @returns {boolean} */
export function check() {
  say("Format and lint ...");
  const lint = runToEnd(process.execPath, [
    join(root, "node_modules/@biomejs/biome/bin/biome"),
    "ci",
    "--error-on-warnings",
    ".",
  ]);
  say("Rooms: who imports whom ...");
  const rooms = checkRooms();
  say("Types and layers ...");
  const types = runToEnd(process.execPath, [join(root, "node_modules/typescript/bin/tsc"), "-b"]);
  return lint && rooms && types;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  ensureInstalled();
  process.exit(check() ? 0 : 1);
}
