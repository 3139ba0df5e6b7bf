/**
 * What stands in a study folder may have been put there by somebody else. POSIX open(2): a pipe without a writer blocks
 * its reader for ever, a link is followed unless O_NOFOLLOW is given, and that only for a path's last part.
 */
import { execFileSync } from "node:child_process";
import {
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { setImmediate as turn } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { realDisk } from "../../electron/disk/disk.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const SECRET = "the content of a file that is no study's";

/** A folder, a secret beside it, and a disk for the folder. */
function place() {
  const outer = temporaryFolder();
  const [root, secret] = [join(outer, "study"), join(outer, "secret")];
  mkdirSync(root);
  mkdirSync(join(outer, "elsewhere"));
  for (const file of [secret, join(outer, "elsewhere", "secret")]) writeFileSync(file, SECRET);
  return { outer, root, secret, disk: realDisk(root) };
}

describe("a disk of one folder", () => {
  it("reads, writes, copies, renames and lists nothing through a link, nor makes anything there", async () => {
    const { outer, root, secret, disk } = place();
    symlinkSync(secret, join(root, "file"));
    symlinkSync(join(outer, "elsewhere"), join(root, "folder"));
    symlinkSync(join(outer, "not-there"), join(root, "dangling"));
    writeFileSync(join(root, "own"), "own");
    const refused = { code: "not-plain", coach: expect.stringMatching(/follows no links.*\.$/) };
    for (const path of ["file", "folder/secret", "dangling"].map((p) => join(root, p))) {
      await expect(disk.read(path, 1000), path).rejects.toMatchObject(refused);
      await expect(disk.open(path, "read"), path).rejects.toMatchObject(refused);
      await expect(disk.open(path, "change"), path).rejects.toMatchObject(refused);
      await expect(disk.append(path, "x"), path).rejects.toMatchObject(refused);
      await expect(disk.copy(path, join(root, "copy")), path).rejects.toMatchObject(refused);
    }
    const through = join(root, "folder", "made");
    for (const call of [
      () => disk.create(through, "x"),
      () => disk.replace(through, "x"),
      () => disk.rename(join(root, "own"), through),
      () => disk.copy(join(root, "own"), through),
      () => disk.remove(join(root, "folder", "secret")),
      () => disk.removeFolder(join(root, "folder", "secret")),
      () => disk.makeFolder(through),
      () => disk.makeFolder(join(root, "folder")),
      () => disk.list(join(root, "folder")),
      () => disk.look(through),
      () => disk.touch(through),
    ])
      await expect(call(), String(call)).rejects.toMatchObject(refused);
    expect(readFileSync(secret, "utf8")).toBe(SECRET);
    expect(readFileSync(join(outer, "elsewhere", "secret"), "utf8")).toBe(SECRET);
    // The link itself is the study's own and may go.
    await disk.replace(join(root, "file"), "ours");
    await disk.removeFolder(join(root, "folder"));
    expect(readFileSync(join(root, "file"), "utf8")).toBe("ours");
    expect(readFileSync(secret, "utf8")).toBe(SECRET);
    expect(readFileSync(join(outer, "elsewhere", "secret"), "utf8")).toBe(SECRET);
  });

  it("waits for no pipe, and takes no folder for a file", async () => {
    const { root, disk } = place();
    execFileSync("mkfifo", [join(root, "pipe")]);
    mkdirSync(join(root, "folder"));
    for (const name of ["pipe", "folder"]) {
      await expect(disk.read(join(root, name), 1000), name).rejects.toMatchObject({ code: "not-plain" });
      await expect(disk.append(join(root, name), "x"), name).rejects.toMatchObject({ code: "not-plain" });
      await expect(disk.copy(join(root, name), join(root, "c"))).rejects.toMatchObject({ code: "not-plain" });
    }
  });

  it("reads nothing that is larger than it may be", async () => {
    const { root, disk } = place();
    writeFileSync(join(root, "large"), "x");
    truncateSync(join(root, "large"), 1e12);
    await expect(disk.read(join(root, "large"), 1000)).rejects.toMatchObject({
      code: "too-large",
      coach: '"large" of this study has 1000000 MB, and no such file has more than 1 MB. It was not read.',
    });
    await expect(disk.copy(join(root, "large"), join(root, "c"))).rejects.toMatchObject({
      code: "too-large",
    });
  });

  it("writes into no file that has a name elsewhere too", async () => {
    const { root, secret, disk } = place();
    linkSync(secret, join(root, "journal"));
    await expect(disk.open(join(root, "journal"), "change")).rejects.toMatchObject({ code: "hard-link" });
    await disk.append(join(root, "journal"), " and more");
    expect(readFileSync(join(root, "journal"), "utf8")).toBe(`${SECRET} and more`);
    expect(readFileSync(secret, "utf8")).toBe(SECRET);
  });

  it("gives nothing away while somebody swaps a folder for a link and back", async () => {
    const { outer, root, disk } = place();
    const folder = join(root, "folder");
    mkdirSync(folder);
    writeFileSync(join(folder, "secret"), "own");
    let over = false;
    const swapping = (async () => {
      while (!over) {
        renameSync(folder, join(root, "aside"));
        symlinkSync(join(outer, "elsewhere"), folder);
        await turn();
        rmSync(folder);
        renameSync(join(root, "aside"), folder);
        await turn();
      }
    })();
    const seen = new Set<string>();
    for (let n = 0; n < 500; n++) {
      const read = await disk.read(join(folder, "secret"), 1000).catch((error) => error.code);
      seen.add(String(read));
      await disk.append(join(folder, "secret"), "").catch(() => undefined);
    }
    over = true;
    await swapping;
    expect([...seen]).not.toContain(SECRET);
    expect(readFileSync(join(outer, "elsewhere", "secret"), "utf8")).toBe(SECRET);
  });
});

describe("a study with links in it", () => {
  it.each([
    ["journal.jsonl", "file"],
    ["marks", "folder"],
    ["last-good", "folder"],
    ["conflicts", "folder"],
    ["damaged", "folder"],
  ] as const)("is shown for reading only, and the notice names %s", async (name, kind) => {
    const { outer, secret } = place();
    const folder = studyFolder();
    rmSync(join(folder, name), { recursive: true, force: true });
    symlinkSync(kind === "file" ? secret : join(outer, "elsewhere"), join(folder, name));
    const vault = await Vault.open(folder);
    const { readOnly, notices, study } = vault.opened();
    expect(readOnly).toBe(true);
    expect(study.question).toBe(STUDY.question);
    expect(notices).toEqual([expect.stringContaining(`"${name}" of this study is a link.`)]);
    await vault.close();
    expect(readFileSync(secret, "utf8")).toBe(SECRET);
  });

  it("whose study.json is a pipe or without an end is refused at once, in words", async () => {
    const folder = temporaryFolder();
    execFileSync("mkfifo", [join(folder, "study.json")]);
    await expect(Vault.open(folder)).rejects.toMatchObject({
      code: "damaged-study",
      coach: expect.stringMatching(/^"study.json" of this study is a pipe or a device/),
    });
    const endless = temporaryFolder();
    symlinkSync("/dev/zero", join(endless, "study.json"));
    await expect(Vault.open(endless)).rejects.toMatchObject({ code: "damaged-study" });
  });

  it("keeps on writing where a backup made hard links of its files, and leaves the backup as it is", async () => {
    const folder = studyFolder();
    const first = await Vault.open(folder);
    await first.saveStudy({ ...STUDY, question: "before" });
    await first.close();
    const backup = join(temporaryFolder(), "study.json");
    linkSync(join(folder, "study.json"), backup);
    const vault = await Vault.open(folder);
    await vault.saveStudy({ ...STUDY, question: "after" });
    await vault.close();
    expect(JSON.parse(readFileSync(backup, "utf8")).question).toBe("before");
    expect((await Vault.open(folder)).study.question).toBe("after");
  });
});

it("is the only way to a study's files: no other module there reaches for the disk by itself", () => {
  const allowed: Readonly<Record<string, string>> = {
    "vault/lock.ts": "/proc, of a process",
    "vault/openStudy.ts": "whether the study's own folder is one",
    "vault/checkStudy.ts": "whether the study's own folder is one",
    "vault/checkClip.ts": "reads clips, which may lie elsewhere (ownClip.ts)",
    "vault/createStudy.ts": "makes the study's own folder",
    "vault/copyStudy.ts": "makes the copy's folder, which is new",
    "clip/link/contentKey.ts": "reads clips, which may lie elsewhere",
    "clip/link/findByContent.ts": "looks for clips elsewhere",
    "clip/ffmpeg/clipFailure.ts": "reads clips, which may lie elsewhere",
    "clip/ffmpeg/clipPackets.ts": "reads clips, which may lie elsewhere",
    "clip/ffmpeg/stated.ts": "reads clips, which may lie elsewhere",
    "clip/ffmpeg/encodeFilm.ts": "writes films where a person said",
    "clip/ffmpeg/findFfmpeg.ts": "looks for a program",
    "clip/store/seal.ts": "the person's own secret, in no study",
    "clip/store/frameStore.ts": "only the type of what a disk opens",
    "host/window.ts": "the built window",
    "host/season.ts": "only where a study's folder lies, however it was named",
    "host/films.ts": "films, outside the study",
  };
  const electron = join(import.meta.dirname, "../../electron");
  for (const room of ["vault", "clip", "host"])
    for (const file of readdirSync(join(electron, room), { recursive: true }) as string[]) {
      const name = `${room}/${file.replaceAll("\\", "/")}`;
      if (!name.endsWith(".ts") || name in allowed) continue;
      expect(readFileSync(join(electron, name), "utf8"), name).not.toMatch(/from "(node:)?fs/);
    }
});
