import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { installedFonts, packedFonts, shipped, thirdParty } from "../../electron/setup/licences.mjs";
import { OUTSIDE } from "../../electron/setup/outside.mjs";

const ROOT = join(import.meta.dirname, "../..");
const text = (name: string) => readFileSync(join(ROOT, name), "utf8");

interface Locked {
  readonly version: string;
  readonly integrity?: string;
  readonly resolved?: string;
  readonly hasInstallScript?: boolean;
  readonly dev?: boolean;
}

const LOCK: Record<string, Locked> = JSON.parse(text("package-lock.json")).packages;

describe("what is shipped", () => {
  it("is listed with its licences as it is now (else run: npm run licences)", () => {
    expect(text("THIRD-PARTY.md")).toBe(thirdParty());
  });

  it("is under licences that allow it, the text of each at hand", () => {
    const allowed =
      /^\(?(MIT|ISC|BSD|0BSD|BSD-[23]-Clause|Apache-2\.0|BSL-1\.0|Unlicense|CC0-1\.0|BlueOak-1\.0\.0)\b/;
    for (const { name, licence } of shipped()) {
      // A program of its own that is started, optional, and never part of the built files.
      if (name === "ffmpeg-static") continue;
      // Bitstream Vera's licence: may be bundled and sold with any software, not by itself and not under its own name.
      if (name === "dejavu-fonts-ttf") {
        expect(text("THIRD-PARTY.md")).toContain("may be sold as part of a larger software package");
        continue;
      }
      expect(licence, name).toMatch(allowed);
    }
    expect(text("electron/setup/build.mjs")).toMatch(/external: OUTSIDE\b/);
    expect(OUTSIDE).toEqual(expect.arrayContaining(["ffmpeg-static", "@napi-rs/canvas"]));
  });
});

describe("fonts", () => {
  /** Read from the disk by name in the sources: `dejavu-fonts-ttf/ttf/DejaVuSans${weight}.ttf`. */
  const named = readdirSync(join(ROOT, "electron"), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .flatMap((name) => [...text(join("electron", name)).matchAll(/["`]([\w-]+\/[^"`]*\.ttf)["`]/g)])
    .map(([, path = ""]) => new RegExp(`node_modules/${path.replace(/\$\{\w+\}/g, "[\\w-]*")}$`));

  it("that the programs read are packed, and each that is packed is told of by name", () => {
    expect(named.length).toBeGreaterThan(0);
    for (const pattern of named)
      expect(
        packedFonts().some((font) => pattern.test(font)),
        `${pattern}`,
      ).toBe(true);
    const told = text("THIRD-PARTY.md").slice(0, text("THIRD-PARTY.md").indexOf("| package |"));
    expect(packedFonts().length).toBeGreaterThan(0);
    for (const font of packedFonts()) {
      expect(told).toContain(`\`${font.slice(font.lastIndexOf("/") + 1)}\``);
      const name = /^node_modules\/([\w-]+)\//.exec(font)?.[1];
      expect(shipped().find((s) => s.name === name)?.text, font).toMatch(/licen[cs]e/i);
    }
    expect(told).not.toMatch(/no fonts/i);
  });

  it("come from packages whose licence is told, and from no other place", () => {
    const names = new Set(shipped().map((s) => s.name));
    for (const font of installedFonts()) expect(names).toContain(/^node_modules\/([\w-]+)\//.exec(font)?.[1]);
  });
});

describe("where it comes from", () => {
  it("is pinned by content: every package in the lock file has its hash, none an address", () => {
    for (const [path, { integrity, resolved }] of Object.entries(LOCK)) {
      if (path === "") continue;
      expect(integrity, path).toMatch(/^sha512-/);
      expect(resolved, path).toBeUndefined();
    }
    expect(text("electron/setup/install.mjs")).toMatch(/"npm", \["ci"/);
  });

  it("runs no install script but the one that is named", () => {
    expect(text(".npmrc")).toMatch(/^ignore-scripts=true$/m);
    const run = [
      ...text("electron/setup/install.mjs").matchAll(/"node_modules", "([\w-]+)", "install\.js"/g),
    ].map((m) => m[1]);
    expect(run).toEqual(["ffmpeg-static"]);
    // Packages that would like to run one; all work without, or are fetched by name when needed (electron).
    const wanting = Object.entries(LOCK)
      .filter(([, l]) => l.hasInstallScript)
      .map(([path]) => path.replace(/.*node_modules\//, ""));
    expect(new Set(wanting)).toEqual(new Set(["electron", "esbuild", "ffmpeg-static"]));
  });
});
