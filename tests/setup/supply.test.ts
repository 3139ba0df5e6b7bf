import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { shipped, thirdParty } from "../../electron/setup/licences.mjs";
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
