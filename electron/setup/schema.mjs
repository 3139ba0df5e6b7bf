// npm run schema: writes schema/*.json, the saved documents as JSON Schema, from src/study/schema.ts and marksSchema.ts.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureInstalled } from "./install.mjs";
import { root, runToEnd, say } from "./run.mjs";

ensureInstalled();
const esbuild = await import("esbuild");
const outfile = join(root, "node_modules", ".cache", "documentSchemas.mjs");
await esbuild.build({
  absWorkingDir: root,
  entryPoints: ["src/study/documentSchemas.ts"],
  outfile,
  bundle: true,
  platform: "node",
  format: "esm",
});
const { documentSchemas } = await import(pathToFileURL(outfile).href);
mkdirSync(join(root, "schema"), { recursive: true });
for (const [name, schema] of Object.entries(documentSchemas())) {
  writeFileSync(join(root, "schema", name), `${JSON.stringify(schema, null, 2)}\n`);
}
runToEnd("npx", ["biome", "format", "--write", "schema"], { quiet: true });
say("Written: schema/study.schema.json, schema/marks.schema.json.");
