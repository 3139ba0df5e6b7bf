// npm run validate: simulated trials of known truth through the measuring core, as a table. Never part of npm test,
// which runs a small share of it.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureInstalled } from "./install.mjs";
import { root } from "./run.mjs";

ensureInstalled();
const esbuild = await import("esbuild");
const outfile = join(root, "dist", "validate", "validate.mjs");
mkdirSync(join(root, "dist", "validate"), { recursive: true });
await esbuild.build({
  absWorkingDir: root,
  entryPoints: ["tests/validate/validate.ts"],
  outfile,
  bundle: true,
  platform: "node",
  target: "node20",
  format: "esm",
  packages: "external",
  logLevel: "warning",
});
const { main } = await import(pathToFileURL(outfile).href);
process.exitCode = await main(process.argv.slice(2));
