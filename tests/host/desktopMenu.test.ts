import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { keepAtHome, studyArgument, studyFolderOf } from "../../electron/desktopDoor.ts";
import { crashWords, desktopMenu, type MenuActions } from "../../electron/desktopMenu.ts";
import { recentStudies, rememberStudy } from "../../electron/recentStudies.ts";
import { copyStudy } from "../../electron/vault/copyStudy.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { MARKS, STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

describe("the desktop's menu", () => {
  const called: string[] = [];
  const say =
    (name: string) =>
    (folder = "") =>
      void called.push(`${name}${folder}`);
  const names = ["open", "create", "saveAs", "print", "savePdf", "showFolder"] as const;
  const actions = Object.fromEntries(
    [...names, "openRecent"].map((n) => [n, say(n)]),
  ) as unknown as MenuActions;

  it("does each thing once, by the words that name it, and has a key for what is done often", () => {
    called.length = 0;
    const [study] = desktopMenu(actions, ["/a/november", "/b"], "linux");
    const items = study?.submenu as {
      label?: string;
      accelerator?: string;
      click?: () => void;
      submenu?: unknown[];
    }[];
    for (const { click } of items) click?.();
    expect(called.sort()).toEqual([...names].sort());
    const recent = items.find((i) => i.label === "Open one of the last")?.submenu as {
      label: string;
      click(): void;
    }[];
    expect(recent.map((r) => r.label)).toEqual(["/a/november", "/b"]);
    recent[1]?.click();
    expect(called.at(-1)).toBe("openRecent/b");
    const keys = items.flatMap((i) => i.accelerator ?? []);
    expect(new Set(keys).size).toBe(4);
  });

  it("says that there is no last study, and gives a Mac its own menu", () => {
    const [first, study] = desktopMenu(actions, [], "darwin");
    expect(first).toEqual({ role: "appMenu" });
    const items = study?.submenu as { label?: string; submenu?: { label: string; enabled: boolean }[] }[];
    expect(items.find((i) => i.submenu)?.submenu).toEqual([{ label: "None yet", enabled: false }]);
  });

  it("offers nothing that opens the page's insides", () => {
    expect(JSON.stringify(desktopMenu(actions, [], "linux"))).not.toMatch(/devtools/i);
  });

  it("says after a crash where the data is", () => {
    const { detail } = crashWords("/studies/november", "crashed");
    expect(detail).toContain("/studies/november");
    expect(detail).toContain("journal.jsonl");
    expect(detail).toContain("crashed");
    expect(crashWords(null, "x").detail).toContain("No study was open");
  });
});

describe("studies opened last", () => {
  it("are kept newest first, once each, forty of them, as long as they are there", async () => {
    const file = join(temporaryFolder(), "recent.json");
    expect(await recentStudies(file)).toEqual([]);
    const folders = Array.from({ length: 42 }, () => studyFolder());
    for (const folder of [...folders, folders[3] as string]) await rememberStudy(file, folder);
    const list = await recentStudies(file);
    expect(list).toHaveLength(40);
    expect(list.slice(0, 2)).toEqual([folders[3], folders[41]]);
    await rememberStudy(file, "/gone/for/good");
    expect(await recentStudies(file)).not.toContain("/gone/for/good");
    writeFileSync(file, "{ broken");
    expect(await recentStudies(file)).toEqual([]);
  });
});

describe("a study named by the system", () => {
  it("may be its folder or its study.json, by argument or dropped on the window", () => {
    expect(studyFolderOf("/a/november/study.json")).toBe("/a/november");
    expect(studyFolderOf("C:\\a\\study.json")).toBe("C:\\a");
    expect(studyArgument(["blademark", "/a/november/study.json"], true)).toBe("/a/november");
    const listeners = new Map<string, (event: { preventDefault(): void }, url: string) => void>();
    const dropped: string[] = [];
    keepAtHome(
      {
        setWindowOpenHandler: () => undefined,
        on: (event: string, heard: never) => listeners.set(event, heard),
      },
      (path) => dropped.push(path),
    );
    let stayed = 0;
    for (const url of [
      "file:///a/my%20study",
      "https://rink.example/",
      "file://server/share",
      "blademark://app/",
    ])
      listeners.get("will-navigate")?.({ preventDefault: () => stayed++ }, url);
    expect(stayed).toBe(3);
    expect(dropped).toEqual(["/a/my study"]);
  });
});

describe("a copy of a study", () => {
  it("holds everything but what belongs to the open folder, and leads to the same clips", async () => {
    const outside = join(temporaryFolder(), "far.mp4");
    writeFileSync(outside, "far away");
    const folder = studyFolder(STUDY, [MARKS], [outside]);
    const vault = await Vault.open(folder);
    const link = await vault.clips.add("near.mp4", bytes("near"));
    await vault.saveStudy({ ...vault.study, clips: [...vault.study.clips, link] });
    mkdirSync(join(folder, "cache"), { recursive: true });
    writeFileSync(join(folder, "cache", "big"), "x");
    const to = join(temporaryFolder(), "deeper", "copy");
    await copyStudy(folder, to);
    const copy = await Vault.open(to);
    expect(copy.opened()).toMatchObject({ readOnly: false, notices: [], marks: { t1: MARKS } });
    expect(readFileSync(copy.clips.of(link.id)?.file as string, "utf8")).toBe("near");
    expect(copy.clips.of(link.id)?.file.startsWith(to)).toBe(true);
    expect(copy.clips.of("clip-0")?.file).toBe(outside);
    expect(existsSync(join(to, "cache"))).toBe(false);
  });

  it("never goes into a folder that holds something, nor into itself", async () => {
    const folder = studyFolder();
    await expect(copyStudy(folder, studyFolder())).rejects.toMatchObject({ code: "folder-not-empty" });
    for (const inside of [folder, join(folder, "copy")])
      await expect(copyStudy(folder, inside)).rejects.toMatchObject({ code: "inside-itself" });
  });
});

async function* bytes(text: string) {
  yield new TextEncoder().encode(text);
}
