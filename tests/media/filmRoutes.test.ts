import { mkdtempSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it, onTestFinished, vi } from "vitest";
import type { FilmNews } from "../../src/study/exchange.ts";
import { A, pairOfClips, pairStudy } from "../helpers/paintedPair.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

const folder = sharedFolder();
let files: string[] = [];
beforeAll(async () => {
  files = await pairOfClips(folder);
});

const ORDER = { trials: ["t1", "t2"], moment: "blade_off:left:1", slow: 1, names: "names" };

async function news(answer: Response): Promise<FilmNews[]> {
  return (await answer.text())
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as FilmNews);
}

describe("a film through the host", () => {
  it("is written one at a time, told of as it comes, and fetched as a file with a name", async () => {
    const host = await testHost(pairStudy(files));
    const first = await host.postJson("/api/films", ORDER);
    const second = await host.postJson("/api/films", ORDER);
    expect(second.status).toBe(409);
    const told = await news(first);
    const last = told.at(-1)!;
    expect(told.slice(0, -1).every((n) => n.kind === "progress")).toBe(true);
    if (last.kind !== "written") throw new Error(JSON.stringify(last));
    expect(last.name).toBe("t1-and-t2.mp4");
    const film = await host.get(`/api/films/${last.id}`);
    expect(film.headers.get("content-type")).toBe("video/mp4");
    expect(film.headers.get("content-disposition")).toBe("attachment; filename*=UTF-8''t1-and-t2.mp4");
    const bytes = Buffer.from(await film.arrayBuffer());
    expect(bytes.length).toBe(Number(film.headers.get("content-length")));
    // ISO/IEC 14496-12: a file begins with its type.
    expect(bytes.toString("latin1", 4, 8)).toBe("ftyp");
    for (const id of ["", "..", "nothing", "%2e%2e%2fstudy.json"])
      expect((await host.get(`/api/films/${id}`)).status).toBe(404);
  });

  it("ends, leaving nothing, when nobody listens any more, and can be asked for again", async () => {
    // A place of its own for what is temporary, so that what is left can be told.
    const place = mkdtempSync(join(folder, "tmp-"));
    vi.stubEnv("TMPDIR", place);
    onTestFinished(() => void vi.unstubAllEnvs());
    const films = () => readdirSync(place).filter((name) => name.startsWith("blademark-films-"));
    const host = await testHost(pairStudy(files));
    const answer = await host.postJson("/api/films", { ...ORDER, slow: 10 });
    const reader = answer.body!.getReader();
    for (let writing = false; !writing; ) {
      const { value } = await reader.read();
      writing = Buffer.from(value ?? []).includes('"writing"');
    }
    await reader.cancel();
    expect(films()).toHaveLength(1);
    for (const f of films()) expect(readdirSync(join(place, f))).toEqual([]);
    const again = await news(await host.postJson("/api/films", { ...ORDER, trials: ["t1"] }));
    expect(again.at(-1)!.kind).toBe("written");
    await host.host.close();
    expect(films()).toEqual([]);
  });

  it("gives way to the next one of the same window, and to nobody else's", async () => {
    const host = await testHost(pairStudy(files));
    const asks = (window: string, order: object) =>
      host.get("/api/films", {
        method: "POST",
        body: JSON.stringify(order),
        headers: { "content-type": "application/json", "x-blademark-window": window },
      });
    await asks("window-one", { ...ORDER, slow: 10 });
    expect((await asks("window-two", ORDER)).status).toBe(409);
    const next = await news(await asks("window-one", { ...ORDER, trials: ["t2"] }));
    expect(next.at(-1)).toMatchObject({ kind: "written", name: "t2.mp4" });
  });

  it("says what can't be, in words", async () => {
    const host = await testHost(pairStudy(files));
    const late = await news(await host.postJson("/api/films", { ...ORDER, moment: "blade_off:left:9" }));
    expect(late).toEqual([{ kind: "failed", text: expect.stringContaining("left blade-off 9") }]);
    for (const order of [
      { ...ORDER, trials: [] },
      { ...ORDER, trials: ["t1", "t2", "t1"] },
      { ...ORDER, moment: "then" },
      { ...ORDER, slow: 0 },
      { ...ORDER, names: "all" },
      A,
    ])
      expect((await host.postJson("/api/films", order)).status).toBe(400);
  });
});
