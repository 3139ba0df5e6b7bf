import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Command } from "../../app/commands/Command.ts";
import { importsOf } from "../../electron/setup/rooms.mjs";

const ROOT = join(import.meta.dirname, "../..");
const IMPORTS = importsOf();
const FILES = [...IMPORTS.keys()].filter((file) => /^app\/commands\/\w+\/\w+\.ts$/.test(file));

/** What a file of commands exports that is one. */
async function commandsOf(file: string): Promise<readonly Command<unknown>[]> {
  const exported: Record<string, unknown> = await import(join(ROOT, file));
  return Object.values(exported).filter(
    (value): value is Command<unknown> => typeof value === "object" && value !== null && "run" in value,
  );
}

describe("what a person can do", () => {
  it("is named after its file, and the window has a way to it", async () => {
    const commands = await Promise.all(
      FILES.map(async (file) => ({ file, names: (await commandsOf(file)).map(({ name }) => name) })),
    );
    const found = commands.filter(({ names }) => names.length > 0);
    expect(found.length).toBeGreaterThan(35);
    expect(found.filter(({ file, names }) => names.join() !== basename(file, ".ts"))).toEqual([]);
    const used = new Set([...IMPORTS].flatMap(([from, to]) => (from.startsWith("app/commands/") ? [] : to)));
    expect(found.filter(({ file }) => !used.has(file))).toEqual([]);
  });
});
