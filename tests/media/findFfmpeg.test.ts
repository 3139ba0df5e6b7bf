import { chmodSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { FFMPEG } from "../helpers/paintedClip.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const NOWHERE = "/no/such/ffmpeg";

describe("finding ffmpeg", () => {
  it("takes the first that runs", async () => {
    const found = await findFfmpeg([
      { origin: "BLADEMARK_FFMPEG", path: null },
      { origin: "ffmpeg-static", path: NOWHERE },
      { origin: "system", path: FFMPEG },
      { origin: "@ffmpeg-installer/ffmpeg", path: NOWHERE },
    ]);
    expect(found).toMatchObject({ origin: "system", path: FFMPEG });
    expect(found.version).toMatch(/\d/);
    expect(found.passThrough[1]).toBe("passthrough");
    expect(found.showTimes).toMatch(/^showinfo/);
  });

  it("does not pass over a program that was named", async () => {
    const program = join(temporaryFolder(), "ffmpeg");
    writeFileSync(program, "#!/bin/sh\nexit 1\n");
    chmodSync(program, 0o755);
    const found = findFfmpeg([
      { origin: "BLADEMARK_FFMPEG", path: program },
      { origin: "system", path: FFMPEG },
    ]);
    await expect(found).rejects.toMatchObject({
      code: "no-ffmpeg",
      coach: expect.stringMatching(/BLADEMARK_FFMPEG is set to/),
    });
  });

  it("looks anew at a program that was exchanged, and not again at one that was not", async () => {
    const folder = temporaryFolder();
    const program = join(folder, "ffmpeg");
    const calls = join(folder, "calls");
    const put = (version: string) => {
      writeFileSync(
        program,
        `#!/bin/sh\necho call >> ${calls}\necho "ffmpeg version ${version} of a test"\n`,
      );
      chmodSync(program, 0o755);
    };
    const find = async () => (await findFfmpeg([{ origin: "system", path: program }])).version;
    const count = () => readFileSync(calls, "utf8").length;
    put("1.0");
    expect(await find()).toBe("1.0");
    const once = count();
    expect(await find()).toBe("1.0");
    expect(count()).toBe(once);
    put("10.0");
    expect(await find()).toBe("10.0");
    expect(count()).toBeGreaterThan(once);
  });

  it("says how to get one when there is none", async () => {
    const found = findFfmpeg([{ origin: "system", path: NOWHERE }]);
    await expect(found).rejects.toMatchObject({
      code: "no-ffmpeg",
      coach: expect.stringMatching(/apt install ffmpeg.*brew.*winget/),
    });
  });
});
