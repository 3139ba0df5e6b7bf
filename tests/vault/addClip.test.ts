import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { nameFile } from "../../electron/vault/nameFile.ts";
import { safeClipName, uniqueName } from "../../electron/vault/safeName.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

async function* parts(...texts: string[]): AsyncGenerator<Uint8Array> {
  for (const text of texts) yield new TextEncoder().encode(text);
}

describe("adding a clip", () => {
  it("copies it under its own name and gives its size and SHA-256", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const link = await vault.clips.add("Runde 1.mp4", parts("abc", "def"));
    // SHA-256 of "abcdef", by OpenSSL as Node binds it.
    const sha256 = createHash("sha256").update("abcdef").digest("hex");
    expect(link).toEqual({
      id: `clip-${sha256.slice(0, 8)}`,
      name: "Runde 1.mp4",
      path: "clips/Runde 1.mp4",
      bytes: 6,
      sha256,
    });
    expect(readFileSync(join(folder, link.path), "utf8")).toBe("abcdef");
    expect(vault.clips.of(link.id)?.file).toBe(join(folder, "clips", "Runde 1.mp4"));
  });

  it("never writes over another clip, nor gives one id twice", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const links = [
      await vault.clips.add("a.mp4", parts("one")),
      await vault.clips.add("A.MP4", parts("two")),
      await vault.clips.add("a.mp4", parts("one")),
    ];
    expect(links.map((l) => l.path)).toEqual(["clips/a.mp4", "clips/A 2.MP4", "clips/a 3.mp4"]);
    expect(new Set(links.map((l) => l.id)).size).toBe(3);
    expect(links.map((l) => readFileSync(join(folder, l.path), "utf8"))).toEqual(["one", "two", "one"]);
  });

  it("keeps each of many that come at once under one name, some of them alike to the byte", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const contents = Array.from({ length: 20 }, (_, i) => `clip ${i % 15}`);
    const names = contents.map((_, i) => (i % 2 === 0 ? "round.mp4" : "Round.MP4"));
    const links = await Promise.all(
      contents.map((text, i) => vault.clips.add(names[i] as string, parts(text))),
    );
    expect(links.map((l) => readFileSync(join(folder, l.path), "utf8"))).toEqual(contents);
    expect(new Set(links.map((l) => l.path.toLowerCase())).size, "one file each, on any disk").toBe(20);
    expect(new Set(links.map((l) => l.id)).size, "one id each").toBe(20);
    expect(readdirSync(join(folder, "clips"))).toHaveLength(20);
  });

  it("gives way to a file that another program puts there in that very moment", async () => {
    const folder = temporaryFolder();
    for (const [name, text] of [
      ["ours.tmp", "ours"],
      ["a.mp4", "theirs"],
      ["a 2.mp4", "theirs too"],
    ] as const)
      writeFileSync(join(folder, name), text);
    // Neither was there when the folder was listed.
    expect(await nameFile(join(folder, "ours.tmp"), folder, "a.mp4", [])).toBe("a 3.mp4");
    expect(readdirSync(folder).map((name) => `${name}: ${readFileSync(join(folder, name), "utf8")}`)).toEqual(
      ["a 2.mp4: theirs too", "a 3.mp4: ours", "a.mp4: theirs"],
    );
  });

  it("leaves nothing behind when the copy breaks off, or nothing came", async () => {
    const folder = studyFolder();
    const vault = await Vault.open(folder);
    const broken = async function* () {
      yield new Uint8Array(10);
      throw new Error("connection lost");
    };
    await expect(vault.clips.add("a.mp4", broken())).rejects.toThrow("connection lost");
    await expect(vault.clips.add("b.mp4", parts())).rejects.toMatchObject({ code: "clip-empty" });
    expect(readdirSync(join(folder, "clips"))).toEqual([]);
  });
});

describe("names of copied clips", () => {
  it.each([
    ["../../etc/passwd", "passwd"],
    ["C:\\clips\\Lauf 1.mov", "Lauf 1.mov"],
    ['a<b>:"c"|d?*.mp4', "a-b---c--d--.mp4"],
    [".hidden.mp4", "hidden.mp4"],
    ["-i.mp4", "i.mp4"],
    ["氷の上.mp4", "氷の上.mp4"],
    ["con.mp4", "clip con.mp4"],
    ["...", "clip"],
    ["a\u0000b\n.mp4", "a-b-.mp4"],
  ])("makes %j into %j", (given, safe) => {
    expect(safeClipName(given)).toBe(safe);
  });

  // 255 bytes a name on ext4, APFS and NTFS (there 255 UTF-16 units); a number may come after it.
  it.each(["ö", "氷", "⛸️", "👩‍👩‍👧‍👦", "e\u0301\u0323"])(
    "keeps the extension of a very long name of %j",
    async (letter) => {
      for (const extension of [".MOV", `.${letter.repeat(40)}`]) {
        const name = safeClipName(`${letter.repeat(300)}${extension}`);
        expect(name.endsWith(extension.slice(0, 4)) || name.includes("."), name).toBe(true);
        expect(Buffer.byteLength(uniqueName(name, [name]))).toBeLessThan(240);
        expect(name, "no half letter").not.toMatch(/\p{Cs}/u);
      }
      const folder = studyFolder();
      const vault = await Vault.open(folder);
      const link = await vault.clips.add(`${letter.repeat(400)}.mp4`, parts("abc"));
      expect(readFileSync(join(folder, link.path), "utf8")).toBe("abc");
    },
  );

  it("counts on from a taken name, whatever its case", () => {
    expect(uniqueName("a.mp4", ["A.mp4", "a 2.MP4"])).toBe("a 3.mp4");
    expect(uniqueName("b.mp4", ["a.mp4"])).toBe("b.mp4");
  });
});
