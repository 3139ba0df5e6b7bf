import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { measure } from "../../electron/commands/measure.ts";
import { measureTables } from "./drive.ts";
import { filmTrial, ORDINARY } from "./film.ts";
import { PLACEMENTS } from "./placements.ts";

describe("the validation's way into the core", () => {
  let folder = "";
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), "blademark-validate-"));
  });
  afterAll(() => rm(folder, { recursive: true }));

  it.each([
    ["behind", 3],
    ["45 deg", 4],
    ["bench", 6],
  ] as const)("reads the same figures as `blademark measure` prints: %s, skater %i", async (view, who) => {
    const film = filmTrial(11, PLACEMENTS.find((p) => p.view === view && p.height === 3)!, who, ORDINARY)!;
    const file = async (name: keyof typeof film.tables) => {
      const path = join(folder, `${view} ${name}.csv`);
      await writeFile(path, film.tables[name]);
      return path;
    };
    const args = [
      "--marks",
      await file("marks"),
      "--events",
      await file("events"),
      "--ice",
      await file("ice"),
    ];
    args.push("--picture", "1920x1080", "--mark-sd", "1", "--json", "--body");
    args.push(
      Object.entries(film.body)
        .map(([name, metres]) => `${name}=${metres}`)
        .join(","),
    );
    if (film.lens) args.push(`--lens=${film.lens.k1},${film.lens.k2}`);
    let out = "";
    const status = await measure.run(args, { out: (text) => (out += text), say: () => {} });
    expect(status).toBe(0);
    expect(JSON.parse(out)).toEqual(JSON.parse(JSON.stringify(measureTables(film, 1))));
  });
});
