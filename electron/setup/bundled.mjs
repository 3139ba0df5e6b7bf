// A program of tests/ bundled so that Node runs it as it is.
import { mkdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { root } from "./run.mjs";

/**
 * The module at `entry` (relative to the root), bundled to dist/NAME/NAME.mjs and loaded. Packages are installed already.
 *
 * @param {string} entry
 * @param {string} name
 */
export async function bundled(entry, name) {
  const esbuild = await import("esbuild");
  const outfile = join(root, "dist", name, `${name}.mjs`);
  mkdirSync(dirname(outfile), { recursive: true });
  await esbuild.build({
    absWorkingDir: root,
    entryPoints: [entry],
    outfile,
    bundle: true,
    platform: "node",
    target: "node20",
    format: "esm",
    packages: "external",
    logLevel: "warning",
  });
  return import(pathToFileURL(outfile).href);
}
