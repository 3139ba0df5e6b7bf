// Bundles the generator and runs it: node sample-clips/make/make.mjs [--no-clips | --stills N,N …] [clip names]
import { mkdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const built = join(here, "../../node_modules/.cache/sample-clips");
mkdirSync(built, { recursive: true });
const page = await build({
  entryPoints: [join(here, "page/drawHall.ts")],
  bundle: true,
  format: "esm",
  write: false,
  logLevel: "warning",
});
const main = join(built, "make.mjs");
await build({
  entryPoints: [join(here, "make.ts")],
  bundle: true,
  format: "esm",
  platform: "node",
  packages: "external",
  outfile: main,
  logLevel: "warning",
});
const { make } = await import(pathToFileURL(main).href);
await make(process.argv.slice(2), page.outputFiles[0].text, join(here, ".."));
