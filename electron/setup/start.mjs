// npm start: install what is missing, build what is stale, open the demo study (or the study folder named after `--`).
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureBuilt } from "./build.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { root } from "./run.mjs";

ensureInstalled();
ensureFfmpeg();
await ensureBuilt();
// In this same process: a second one would cost the person a fifth of a second.
process.argv.splice(2, 0, "serve", "--open");
await import(pathToFileURL(join(root, "dist/electron/cli.js")).href);
