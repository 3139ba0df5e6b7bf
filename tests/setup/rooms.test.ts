import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { drawRooms, ROOMS_DRAWING } from "../../electron/setup/drawRooms.mjs";
import { circlesOf, importsOf, roomFaults } from "../../electron/setup/rooms.mjs";

describe("the rooms of the house", () => {
  it("import only what the table allows, and no files import each other in a circle", () => {
    expect(importsOf().size).toBeGreaterThan(400);
    expect(roomFaults()).toEqual([]);
  });

  it("are drawn as they are: `npm run rooms` draws them again", () => {
    expect(readFileSync(ROOMS_DRAWING, "utf8")).toBe(drawRooms());
  });

  it("would tell of an arrow upward, of a file in no room, and of a circle", () => {
    const upward = new Map([["src/ice/fitScale.ts", ["src/report/studyReport.ts"]]]);
    expect(roomFaults(upward)).toEqual([
      "src/ice/fitScale.ts imports src/report/studyReport.ts: src/ice may not import src/report",
    ]);
    for (const homeless of ["src/attic/old.ts", "app/places/attic/Attic.tsx", "electron/attic/old.ts"])
      expect(roomFaults(new Map([[homeless, []]]))).toHaveLength(1);
    const ring = new Map([
      ["a", ["b"]],
      ["b", ["c", "d"]],
      ["c", ["a"]],
      ["d", []],
    ]);
    expect(circlesOf(ring)).toEqual([["a", "b", "c"]]);
  });
});
