import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { libraryFile } from "../../electron/library/libraryFile.ts";
import type { KeptEdit, Library } from "../../src/study/library.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

const NOTHING = { skaters: [], techniques: [], rinks: [], setups: [] };
const PLACE = {
  ...{ x: 33, y: 0, height: 3, aimX: 7.5, aimY: 0 },
  ...{ hfovDeg: 40, widthPx: 1920, heightPx: 1080, fps: 60 },
};

async function libraryHost() {
  const home = join(temporaryFolder(), "home");
  vi.stubEnv("BLADEMARK_HOME", home);
  onTestFinished(() => void vi.unstubAllEnvs());
  const { get, postJson } = await testHost(studyFolder());
  return {
    home,
    read: async (): Promise<Library> => (await get("/api/library")).json(),
    keep: (more: object) => postJson("/api/library", { ...NOTHING, ...more }),
    edit: (edit: KeptEdit) => postJson("/api/library/edit", edit),
  };
}

describe("what is kept beside all studies", () => {
  it("takes a set-up's place and its lens one after the other, and a rink with what was measured on its ice", async () => {
    const { keep, read } = await libraryHost();
    const lane = { distance: 30, unit: "m", gates: [0, 30], gateBeam: "dual", start: "standing" };
    const markings = [{ label: "cone 3", x: 12, y: -1.5, u: 0.01 }];
    await keep({ setups: [{ name: "phone", cameraPlan: PLACE }], rinks: [{ name: "Town", lane, markings }] });
    expect((await keep({ setups: [{ name: "phone", lens: { k1: -0.12 } }] })).status).toBe(200);
    const { setups, rinks } = await read();
    expect(setups).toEqual([{ name: "phone", cameraPlan: PLACE, lens: { k1: -0.12 } }]);
    expect(rinks).toEqual([{ name: "Town", lane, markings }]);
    expect((await keep({ setups: [{ name: "phone", lens: { k1: "wide" } }] })).status).toBe(400);
    expect(
      (await keep({ rinks: [{ name: "Town", lane, markings: [{ label: "cone", x: 1 }] }] })).status,
    ).toBe(400);
    expect((await read()).rinks).toEqual(rinks);
  });

  it("renames and removes one thing, and refuses a name that is taken, empty, or of nobody", async () => {
    const { keep, edit, read } = await libraryHost();
    const skater = (name: string) => ({ name, code: `${name[0]}1`, body: { stature: 1.7 } });
    await keep({ skaters: ["Aino", "Bea", "Tove"].map(skater) });
    expect((await edit({ kind: "skaters", name: "Bea", to: " Wren " })).status).toBe(200);
    expect((await read()).skaters).toEqual([
      skater("Aino"),
      skater("Tove"),
      { ...skater("Bea"), name: "Wren" },
    ]);
    for (const [edited, words] of [
      [{ kind: "skaters", name: "Wren", to: "aino" }, "kept already"],
      [{ kind: "skaters", name: "Wren", to: "  " }, "needs a name"],
      [{ kind: "skaters", name: "Bea", to: "Signe" }, "Nothing is kept as"],
      [{ kind: "rinks", name: "Wren", to: null }, "Nothing is kept as"],
    ] as const) {
      const refused = await edit(edited);
      expect(refused.status).toBe(400);
      expect((await refused.json()).error).toContain(words);
    }
    expect((await edit({ kind: "skaters", name: "Wren", to: null })).status).toBe(200);
    expect((await read()).skaters.map((s) => s.name)).toEqual(["Aino", "Tove"]);
  });

  it("opens a library of before, that knows no set-ups and holds what is not known here", async () => {
    const { home, keep, read } = await libraryHost();
    mkdirSync(home);
    const before = {
      format: "blademark.library",
      version: 1,
      skaters: [],
      techniques: [],
      rinks: [],
      later: 1,
    };
    writeFileSync(join(home, "library.json"), JSON.stringify(before));
    expect((await read()).setups).toEqual([]);
    await keep({ setups: [{ name: "phone", lens: { k1: -0.1, k2: 0.02 } }] });
    expect(JSON.parse(readFileSync(libraryFile(), "utf8"))).toMatchObject({
      later: 1,
      setups: [{ name: "phone" }],
    });
  });
});
