// npm run bench: timings as tables of ratios measured in one run. Never part of npm test.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureBuilt } from "./build.mjs";
import { ensureFfmpeg } from "./ffmpeg.mjs";
import { ensureInstalled } from "./install.mjs";
import { root } from "./run.mjs";

ensureInstalled();
ensureFfmpeg();
await ensureBuilt();
const esbuild = await import("esbuild");
const outfile = join(root, "dist", "bench", "bench.mjs");
mkdirSync(join(root, "dist", "bench"), { recursive: true });
await esbuild.build({
  absWorkingDir: root,
  entryPoints: ["tests/bench/bench.ts"],
  outfile,
  bundle: true,
  platform: "node",
  target: "node20",
  format: "esm",
  packages: "external",
  logLevel: "warning",
});
const { main } = await import(pathToFileURL(outfile).href);
await main(root, process.argv.slice(2));
