// npm run desktop: the same app in a window of its own, without a port.
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { ensureBuilt } from "./build.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { becomeProgram, root, runToEnd, say, stop } from "./run.mjs";

const electron = join(root, "node_modules", "electron");

/** @returns {string | null} */
function binary() {
  const named = join(electron, "path.txt");
  if (!existsSync(named)) return null;
  const path = join(electron, "dist", readFileSync(named, "utf8").trim());
  return existsSync(path) ? path : null;
}

ensureInstalled();
ensureFfmpeg();
await ensureBuilt();
if (!binary()) {
  say("Fetching the desktop runtime (Electron, about 100 MB, once) ...");
  runToEnd(process.execPath, [join(electron, "install.js")], { quiet: true });
}
becomeProgram(
  binary() ??
    stop(
      "The desktop window needs Electron's program, which could not be downloaded here.\n" +
        "Connect to the internet and run `npm run desktop` again, or use `npm start`: the same app in your browser.",
    ),
  [join(root, "dist/electron/main.js"), ...process.argv.slice(2)],
);
