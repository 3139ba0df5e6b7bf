// npm start: install what is missing, build what is stale, open the demo study (or the study folder named after `--`).
import { join } from "node:path";
import { ensureBuilt } from "./build.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { becomeProgram, root } from "./run.mjs";

ensureInstalled();
ensureFfmpeg();
await ensureBuilt();
becomeProgram(process.execPath, [
  join(root, "dist/electron/cli.js"),
  "serve",
  "--open",
  ...process.argv.slice(2),
]);
