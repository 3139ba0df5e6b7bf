import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/**
 * The folder of Blademark's own package.json, found by walking up from the running file, so that it is the same
 * from the sources, from dist/ and from an installed package.
 */
export function packageRoot(from: string = import.meta.url): string {
  for (let folder = dirname(fileURLToPath(from)); ; folder = dirname(folder)) {
    const manifest = join(folder, "package.json");
    if (existsSync(manifest) && JSON.parse(readFileSync(manifest, "utf8")).name === "blademark")
      return folder;
    if (dirname(folder) === folder)
      throw new Error(`packageRoot found no package.json of blademark above ${from}`);
  }
}
