import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

const SECRET = "the content of a file that is no clip";

it("shows nothing of files that a made-up study names as its clips", async () => {
  const outside = temporaryFolder();
  for (const name of ["secret.txt", "id_rsa", "named.mp4"])
    writeFileSync(join(outside, name), SECRET.repeat(50));
  const list = `#EXTM3U\n#EXTINF:1,\n${join(outside, "secret.txt")}\n#EXT-X-ENDLIST\n`;
  for (const name of ["list.m3u8", "list.mp4"]) writeFileSync(join(outside, name), list);
  writeFileSync(
    join(outside, "parts.ffconcat"),
    `ffconcat version 1.0\nfile ${join(outside, "secret.txt")}\n`,
  );
  mkdirSync(join(outside, "folder.mp4"));
  const paths = [
    ...["secret.txt", "id_rsa", "named.mp4", "list.m3u8", "list.mp4", "parts.ffconcat", "folder.mp4"].map(
      (n) => join(outside, n),
    ),
    ...["/dev/zero", "/proc/self/environ", "/proc/self/mem", "../../../../../../../../etc/passwd"],
    ...["file:///etc/passwd", "http://127.0.0.1:9/a.mp4", "concat:/etc/passwd|/etc/hosts", "pipe:0", "fd:0"],
    ...["-i", "--help", "subfile,,start,0,end,0,,:/etc/passwd", "data:text/plain,hello", "lavfi:testsrc"],
    "clips/link.mp4",
  ];
  const clips = paths.map((path, i) => ({ id: `c${i}`, name: "lap.mp4", path, bytes: SECRET.length }));
  const folder = studyFolder({ ...STUDY, clips });
  mkdirSync(join(folder, "clips"));
  symlinkSync(join(outside, "secret.txt"), join(folder, "clips", "link.mp4"));
  const host = await testHost(folder);
  for (const { id, path } of clips) {
    await host.get(`/api/clips/${id}/prepare`, { method: "POST" });
    const index = await host.until(id, ended);
    expect(index.state, path).toBe("failed");
    expect(index.failure, path).toMatch(/\.$/);
    expect(JSON.stringify(index), path).not.toContain(SECRET.slice(0, 20));
    const frame = await host.get(`/api/clips/${id}/frames/0`);
    expect(frame.status, path).toBe(404);
    expect(frame.headers.get("content-type"), path).toMatch(/json/);
  }
});
