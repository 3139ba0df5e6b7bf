import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { OUTSIDE } from "../../electron/setup/outside.mjs";

const ROOT = join(import.meta.dirname, "../..");
const CONFIG = readFileSync(join(ROOT, "electron-builder.yml"), "utf8");

/** The packer brings it, or it stands in for a package that comes along. */
const NOT_PACKED = ["electron", "@ffmpeg-installer/ffmpeg"];
/** Read from the disk by name, so no bundler knows of it. */
const BY_NAME = ["dejavu-fonts-ttf"];
/** What it needs is for its install script only; its program and licence are all that runs. */
const INSTALL_ONLY = ["ffmpeg-static"];

interface Manifest {
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
}

/** A package and all that it loads, as installed here. */
function closure(name: string, seen = new Set<string>()): Set<string> {
  const file = join(ROOT, "node_modules", name, "package.json");
  // Types are for the compiler alone, though some packages call them dependencies.
  if (seen.has(name) || !existsSync(file) || /^@(types|webgpu)\//.test(name)) return seen;
  seen.add(name);
  if (INSTALL_ONLY.includes(name)) return seen;
  const { dependencies, optionalDependencies } = JSON.parse(readFileSync(file, "utf8")) as Manifest;
  for (const needed of Object.keys({ ...dependencies, ...optionalDependencies })) closure(needed, seen);
  return seen;
}

/** `node_modules/@resvg/**` packs every package of that name space. */
function packed(): RegExp[] {
  const lines = CONFIG.slice(CONFIG.indexOf("files:"), CONFIG.indexOf("asarUnpack:")).split("\n");
  const names = lines.flatMap((line) => /^ {2}- node_modules\/((?:@[^/]+|[^/@]+))\//.exec(line)?.[1] ?? []);
  return names.map((name) => new RegExp(`^${name}${name.startsWith("@") ? "/" : "$"}`));
}

describe("the desktop package", () => {
  const needed = [...OUTSIDE.filter((n) => !NOT_PACKED.includes(n)), ...BY_NAME].flatMap((n) => [
    ...closure(n),
  ]);

  it("holds every package that is not in the bundle, and what those load", () => {
    expect(needed).toContain("fluent-ffmpeg");
    expect(needed.filter((name) => !packed().some((p) => p.test(name)))).toEqual([]);
  });

  it("holds no other", () => {
    expect(CONFIG).toContain('- "!node_modules/**"');
    expect(packed().length).toBeGreaterThan(0);
    expect(packed().filter((p) => !needed.some((name) => p.test(name)))).toEqual([]);
  });

  // The names and what they do: Electron's documentation, "Fuses".
  it("switches off in the packed program what an app never needs", () => {
    const fuses = Object.fromEntries(
      [...CONFIG.slice(CONFIG.indexOf("electronFuses:")).matchAll(/^ {2}(\w+): (true|false)$/gm)].map(
        ([, name, value]) => [name, value === "true"],
      ),
    );
    expect(fuses).toMatchObject({
      runAsNode: false,
      enableCookieEncryption: true,
      enableNodeOptionsEnvironmentVariable: false,
      enableNodeCliInspectArguments: false,
      enableEmbeddedAsarIntegrityValidation: true,
      onlyLoadAppFromAsar: true,
      grantFileProtocolExtraPrivileges: false,
    });
    expect(CONFIG).toMatch(/^asar: true$/m);
  });
});
