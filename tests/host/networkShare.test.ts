import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findClip } from "../../electron/clip/link/clipSource.ts";
import { ContentKeys } from "../../electron/clip/link/contentKey.ts";
import { Shares, shareOf } from "../../electron/clip/link/networkShare.ts";
import type { ClipLinkState } from "../../src/study/exchange.ts";
import { blademark } from "../helpers/commandLine.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

/** Names by Microsoft's "File path formats on Windows systems"; automounters by autofs(5) (`/net`) and macOS's auto_master. */
describe("which paths call another computer", () => {
  it.each([
    ["\\\\Server\\Share\\lap.mp4", "\\\\server\\share"],
    ["//server/share/lap.mp4", "\\\\server\\share"],
    ["\\/server/share\\lap.mp4", "\\\\server\\share"],
    ["\\\\?\\UNC\\server\\share\\lap.mp4", "\\\\server\\share"],
    ["\\\\.\\UNC\\server\\share\\lap.mp4", "\\\\server\\share"],
    ["//?/unc/server/share/lap.mp4", "\\\\server\\share"],
    ["\\\\server@SSL@8443\\DavWWWRoot\\lap.mp4", "\\\\server@ssl@8443\\davwwwroot"],
    ["\\\\10.0.0.7\\c$\\lap.mp4", "\\\\10.0.0.7\\c$"],
    ["\\\\?\\GLOBALROOT\\Device\\Mup\\server\\share\\lap.mp4", "\\\\globalroot\\device"],
    ["C:\\clips\\lap.mp4", null],
    ["Z:\\clips\\lap.mp4", null],
    ["\\\\?\\C:\\clips\\lap.mp4", null],
    ["\\\\.\\c:\\clips\\lap.mp4", null],
    ["\\clips\\lap.mp4", null],
    ["clips\\lap.mp4", null],
  ])("on Windows: %s", (path, share) => expect(shareOf(path, "win32")).toBe(share));

  it.each([
    ["/net/server/clips/lap.mp4", "server"],
    ["//net//server/lap.mp4", "server"],
    ["/./net/./server/lap.mp4", "server"],
    ["/Network/Servers/server/lap.mp4", "server"],
    ["/home/aino/net/server/lap.mp4", null],
    ["/srv/clips/lap.mp4", null],
    ["//srv/clips/lap.mp4", null],
    ["/network/lap.mp4", null],
  ])("elsewhere: %s", (path, share) => expect(shareOf(path, "linux")).toBe(share));

  it("asks for each share once, not for the study's own, nor for those named beforehand", () => {
    const shares = new Shares("\\\\club\\films; //Office/Video/winter", "win32");
    const home = "C:\\studies\\november";
    const lap = "\\\\server\\share\\lap.mp4";
    expect(shares.unasked(lap, home)).toBe("\\\\server\\share");
    expect(shares.unasked(lap, "\\\\SERVER\\Share\\november")).toBeNull();
    expect(shares.unasked("\\\\club\\films\\a.mp4", home)).toBeNull();
    expect(shares.unasked("\\\\office\\video\\a.mp4", home)).toBeNull();
    expect(shares.unasked("\\\\office\\payroll\\a.mp4", home)).toBe("\\\\office\\payroll");
    expect(() => shares.mustBeAgreed(lap, home)).toThrow(/nobody agreed/);
    shares.agree(lap);
    expect(shares.unasked("//server/share/other/b.mp4", home)).toBeNull();
    expect(shares.unasked("//server/other/b.mp4", home)).not.toBeNull();
  });
});

const PATH = "/net/fileserver.example/clips/lap.mp4";
const clips = [{ id: "c", name: "lap.mp4", path: PATH, bytes: 1000, sha256: "a".repeat(64) }];

describe("a clip on another computer", () => {
  it("is not looked for before a person agrees, by any door", async () => {
    const host = await testHost(studyFolder({ ...STUDY, clips }));
    const index = await host.index("c");
    expect(index).toMatchObject({
      state: "failed",
      failureCode: "clip-on-share",
      link: { state: "on-share", path: null },
    });
    expect(index.failure).toMatch(/fileserver\.example.*not touched.*Agree only if you know that computer/);
    // Nothing a window asks for by itself is taken for a person's agreement.
    await host.get("/api/clips/c/prepare", { method: "POST" });
    await host.postJson("/api/clips/c/wanted", { frame: 3 });
    await host.get("/api/clips/c/frames/0");
    const looked = (await (await host.get("/api/clips/c/look", { method: "POST" })).json()) as ClipLinkState;
    expect(looked.state).toBe("on-share");
    expect((await host.index("c")).link.state).toBe("on-share");
    const agreed = (await (await host.get("/api/clips/c/agree", { method: "POST" })).json()) as ClipLinkState;
    // Now it was looked for, and there is no such computer.
    expect(agreed.state).toBe("missing");
    expect((await host.index("c")).link.state).toBe("missing");
  });

  it("is not looked for beside itself or above, where a moved clip would be", async () => {
    const source = { clip: "c", file: "\\\\server\\share\\lap.mp4", bytes: 1000, sha256: "a".repeat(64) };
    const found = await findClip(
      { ...source, part: null, studyFolder: "C:\\studies\\november" },
      new ContentKeys(join(temporaryFolder(), "clips.json")),
      new Shares("", "win32"),
    );
    expect(found).toMatchObject({ file: null, stamp: null, link: { state: "on-share" } });
    expect(found.failure?.coach).toMatch(/"lap\.mp4" lies on another computer \(\\\\server\\share\)/);
  });

  it("is said by the commands, which do not touch it", async () => {
    const folder = studyFolder({ ...STUDY, clips, trials: STUDY.trials.map((t) => ({ ...t, clip: "c" })) });
    const checked = await blademark("check", folder);
    expect(checked.status).toBe(1);
    expect(checked.out + checked.said).toMatch(/lies on another computer \(fileserver\.example\)/);
    const still = await blademark("still", folder, "t1", "12", "--out", join(temporaryFolder(), "f.png"));
    expect(still.status).toBe(1);
    expect(still.said).toMatch(/lies on another computer/);
  });
});
