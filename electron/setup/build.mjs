// Builds the window (dist/app) and the host's doors (dist/electron), only when a source is newer than the last build.
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureInstalled } from "./install.mjs";
import { OUTSIDE } from "./outside.mjs";
import { root, say } from "./run.mjs";

const stamp = join(root, "dist", ".built-from");

/** Names, sizes and change times of every source file: cheap, and different after any edit or checkout. */
function sources() {
  /** @type {string[]} */
  const seen = [];
  for (const folder of ["app", "electron", "src"]) {
    for (const entry of readdirSync(join(root, folder), { recursive: true, withFileTypes: true })) {
      if (!entry.isFile()) continue;
      const path = join(entry.parentPath ?? entry.path, entry.name);
      const { size, mtimeMs } = statSync(path);
      seen.push(`${path.slice(root.length)} ${size} ${mtimeMs}`);
    }
  }
  for (const name of ["package-lock.json", "vite.config.ts"])
    seen.push(`${name} ${statSync(join(root, name)).mtimeMs}`);
  return seen.sort().join("\n");
}

/** Resolves when dist/ matches the sources. An installed package ships dist/ and no lock file. */
export async function ensureBuilt() {
  if (!existsSync(join(root, "package-lock.json"))) return;
  const now = sources();
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === now) return;
  say("Building (about ten seconds after a change) ...");
  const [{ build: viteBuild }, esbuild] = await Promise.all([import("vite"), import("esbuild")]);
  await viteBuild({ root: join(root, "app"), configFile: join(root, "vite.config.ts"), logLevel: "warn" });
  /** @type {import("esbuild").BuildOptions} */
  const common = {
    absWorkingDir: root,
    bundle: true,
    platform: "node",
    target: "node20",
    logLevel: "warning",
    external: OUTSIDE,
  };
  await Promise.all([
    esbuild.build({
      ...common,
      format: "esm",
      // CommonJS packages inside an ES module need a require of their own.
      banner: {
        js: 'import { createRequire as makeRequire } from "node:module"; const require = makeRequire(import.meta.url);',
      },
      outdir: "dist/electron",
      entryPoints: [
        "electron/cli.ts",
        "electron/main.ts",
        "electron/suggestChild.ts",
        "electron/motionChild.ts",
      ],
    }),
    // The preload runs in a sandboxed window, where Electron takes CommonJS only.
    esbuild.build({
      ...common,
      format: "cjs",
      outfile: "dist/electron/preload.cjs",
      entryPoints: ["electron/preload.ts"],
    }),
  ]);
  mkdirSync(join(root, "dist"), { recursive: true });
  writeFileSync(stamp, now);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  ensureInstalled();
  await ensureBuilt();
  say("Built: dist/app (window), dist/electron (host, command line, desktop).");
}
