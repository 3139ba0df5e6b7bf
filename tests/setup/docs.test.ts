import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, expect, it } from "vitest";
import { importsOf } from "../../electron/setup/rooms.mjs";
import { STRIDE_QUANTITIES } from "../../src/quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../src/quantities/compared.ts";
import { WARNING_CODES } from "../../src/warningCodes.ts";

const ROOT = join(import.meta.dirname, "../..");
const read = (path: string) => readFileSync(join(ROOT, path), "utf8");

const PAGES = [
  ...readdirSync(ROOT).filter((name) => name.endsWith(".md") && name !== "THIRD-PARTY.md"),
  ...readdirSync(join(ROOT, "docs")).flatMap((name) => (name.endsWith(".md") ? [`docs/${name}`] : [])),
];

const TESTS = readdirSync(join(ROOT, "tests"), { recursive: true, encoding: "utf8" })
  .filter((path) => /\.(ts|tsx|R|py)$/.test(path))
  .map((path) => `tests/${path.replaceAll("\\", "/")}`);
const CODE = [...importsOf().keys(), ...TESTS];

/** Numbers of a page's headings: "4.2" of "### 4.2 Numeric camera". */
function sectionsOf(page: string): Set<string> {
  return new Set([...read(page).matchAll(/^#+ (\d+(?:\.\d+)?)\.? /gm)].map((m) => m[1]!));
}

describe("the documents", () => {
  it("are linked only where there is something", () => {
    const dead = PAGES.flatMap((page) =>
      [...read(page).matchAll(/\]\(([^)#\s]+)(?:#[^)]*)?\)/g)]
        .map((m) => m[1]!)
        .filter((to) => !/^[a-z]+:/.test(to) && !existsSync(join(ROOT, dirname(page), to)))
        .map((to) => `${page}: ${to}`),
    );
    expect(dead).toEqual([]);
  });

  it("hold every page and section that code and tests cite", () => {
    const cited = CODE.flatMap((file) =>
      [...read(file).matchAll(/docs\/([\w-]+)\.md`?,? ?(\d+(?:\.\d+)?)?/g)].map(([, page, section]) => ({
        file,
        page: `docs/${page}.md`,
        section,
      })),
    );
    expect(cited.length).toBeGreaterThan(40);
    const lost = cited.filter(
      ({ page, section }) =>
        !existsSync(join(ROOT, page)) || (section !== undefined && !sectionsOf(page).has(section)),
    );
    expect(lost).toEqual([]);
  });

  it("are cited only as pages that are here", () => {
    const elsewhere = CODE.filter((file) =>
      /(?<![\w/])(design|contracts|precision|references|suggestions|redesign)\.md\b/.test(read(file)),
    );
    expect(elsewhere.filter((file) => file !== "tests/setup/docs.test.ts")).toEqual([]);
    // A page by its bare name is none either, nor is the number of a task that nobody outside has.
    const unnamed = CODE.flatMap((file) =>
      [...read(file).matchAll(/\/\/.*|^ *\*.*/gm)].flatMap(([comment]) =>
        /\b(?:design|contracts|precision|references|suggestions|sentences|issue) #?\d/.test(comment)
          ? [`${file}: ${comment.trim()}`]
          : [],
      ),
    );
    expect(unnamed).toEqual([]);
  });

  it("name in the contracts the commands that there are, and no others", () => {
    const [, commandsOn = ""] = read("docs/contracts.md").split("## Commands\n");
    const [all = "", later = ""] = commandsOn.split("## Agreed, not in this version");
    const [today = ""] = all.split("### Warnings\n");
    const rows = (text: string) =>
      new Set(
        [...text.matchAll(/^\| (`[^|]*(?:\\\|[^|]*)*)\|/gm)].flatMap(([, cell]) =>
          [...cell!.matchAll(/`(\w+)/g)].map((m) => m[1]!),
        ),
      );
    const commands = new Set(
      [...read("electron/commandLine.ts").matchAll(/^import \{ (\w+) \} from "\.\/commands\//gm)].map(
        ([, name]) => name!,
      ),
    );
    const named = [...rows(today)].filter((name) => name !== "command");
    expect(commands.size).toBeGreaterThan(8);
    expect(named.filter((name) => !commands.has(name))).toEqual([]);
    expect([...commands].filter((name) => !named.includes(name))).toEqual([]);
    expect([...rows(later)].filter((name) => commands.has(name) && name !== "measure")).toEqual([]);
  });

  it("list in the contracts every warning there is, and no others", () => {
    const [, table = ""] = read("docs/contracts.md").split("### Warnings\n");
    const [until = ""] = table.split("\n## ");
    const listed = [...until.matchAll(/^\| `([a-z-]+)` \|/gm)].map(([, code]) => code!);
    expect(listed).toEqual([...WARNING_CODES]);
  });

  it("list in DEVELOPERS.md every command of package.json, and no others", () => {
    const named = [...read("DEVELOPERS.md").matchAll(/^\| `npm (?:run (?:-s )?)?([\w-]+)/gm)].map(
      ([, name]) => name!,
    );
    const scripts = Object.keys(JSON.parse(read("package.json")).scripts);
    expect([...new Set(named)].sort()).toEqual([...scripts].sort());
  });

  it("define every quantity of the catalogue, with its drawing", () => {
    const text = read("docs/definitions.md").toLowerCase();
    for (const quantity of STRIDE_QUANTITIES) {
      const { name } =
        quantity in QUANTITY_WORDS
          ? QUANTITY_WORDS[quantity as keyof typeof QUANTITY_WORDS]
          : { name: quantity };
      expect(text, quantity).toMatch(new RegExp(`^## .*${name}`, "m"));
    }
  });

  it("name in DEVELOPERS.md only files and folders that exist", () => {
    const spans = [...read("DEVELOPERS.md").matchAll(/`([^`\n]+)`/g)].map((m) => m[1]!);
    const named = spans.flatMap((span) => [
      ...(span.match(/(?<![\w./])(?:src|app|electron|tests|docs|sample-clips)\/[\w./-]+/g) ?? []),
    ]);
    expect(named.length).toBeGreaterThan(20);
    expect(named.filter((path) => !existsSync(join(ROOT, path)))).toEqual([]);
  });
});
