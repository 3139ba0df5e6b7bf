import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { expect, it } from "vitest";
import { REPORT_STYLE } from "../../src/report/page/style.ts";

const ROOT = join(import.meta.dirname, "../..");

/** Names of classes that a rule of the file speaks of alone, whatever it stands in: `.sheet {`, not `.sheet th {` nor `p.sheet {`. */
function alone(css: string): Set<string> {
  const heads = css.replace(/\/\*[\s\S]*?\*\//g, "").matchAll(/(?:^|[{};])\s*([^{};@]+)\{/g);
  const selectors = [...heads].flatMap(([, head]) => head!.split(",").map((s) => s.trim()));
  return new Set(selectors.flatMap((s) => /^\.([\w-]+)$/.exec(s)?.[1] ?? []));
}

// The styles of a place stay in the window once it was opened: two places that mean different things by one name spoil each
// other, and what the window says of a name of the report changes how that looks there.
it("no two style sheets of the window, nor the report, mean different things by one class", () => {
  const files = readdirSync(join(ROOT, "app"), { recursive: true, encoding: "utf8" })
    .filter((f) => f.endsWith(".css"))
    .map((f) => join(ROOT, "app", f));
  expect(files.length).toBeGreaterThan(10);
  const owner = new Map<string, string>();
  for (const [, name] of REPORT_STYLE.matchAll(/\.report (?:\.[\w-]+ )*\.([\w-]+)/g))
    owner.set(name!, "the report");
  const twice: string[] = [];
  for (const file of files)
    for (const name of alone(readFileSync(file, "utf8"))) {
      const own = relative(ROOT, file);
      const other = owner.get(name);
      // The ground of the window, which the report's own style outdoes.
      if (other === "the report" && own === "app/theme.css") continue;
      if (other !== undefined && other !== own) twice.push(`.${name}: ${other} and ${own}`);
      else owner.set(name, own);
    }
  expect(twice).toEqual([]);
});
