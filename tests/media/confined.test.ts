import { execFile, spawnSync } from "node:child_process";
import { chmodSync, existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { promisify } from "node:util";
import { describe, expect, it, onTestFinished } from "vitest";
import { closestCage, confined, environment } from "../../electron/clip/ffmpeg/confine.ts";
import { exportStills } from "../../electron/clip/ffmpeg/exportStills.ts";
import { type Ffmpeg, findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { runFfmpeg } from "../../electron/clip/ffmpeg/runFfmpeg.ts";
import { stillFrame } from "../../electron/clip/ffmpeg/stillFrame.ts";
import { frameIndex } from "../../electron/clip/store/frameIndex.ts";
import { FFMPEG, H264, paintedClip } from "../helpers/paintedClip.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const run = promisify(execFile);
const folderWith = (name: string, text = "x") => {
  const file = join(temporaryFolder(), name);
  writeFileSync(file, text);
  return file;
};
/** A program of our own, and what it said, held as ffmpeg is over `clip`. */
async function held(cage: "none" | "no-network" | "bubblewrap", script: string, clip: string) {
  const { program, args } = confined(cage, "/bin/sh", ["-c", script], clip);
  return run(program, args, { env: environment() }).then(
    ({ stdout }) => ({ stdout, failed: false }),
    (error: { stdout: string }) => ({ stdout: error.stdout, failed: true }),
  );
}

describe("what ffmpeg is held in", () => {
  it("writes no file, has a bound to its memory, and still gives all it reads to a pipe", async () => {
    const clip = folderWith("clip.mp4", "the clip".repeat(10_000));
    const out = join(temporaryFolder(), "written");
    const wrote = await held("none", `cat '${clip}' > '${out}'`, clip);
    expect(wrote.failed).toBe(true);
    expect(existsSync(out) ? readFileSync(out, "utf8") : "").toBe("");
    expect((await held("none", `cat '${clip}'`, clip)).stdout).toBe("the clip".repeat(10_000));
    if (process.platform === "linux") {
      const kilobytes = Number((await held("none", "ulimit -d", clip)).stdout);
      expect(kilobytes).toBeGreaterThan(500_000);
      expect(kilobytes).toBeLessThanOrEqual(8 * 2 ** 20);
    }
  });

  it("gets nothing of this program's environment but what it needs to start", async () => {
    process.env.BLADEMARK_TEST_SECRET = "secret";
    process.env.FFREPORT = "file=/nowhere/report.txt";
    onTestFinished(() => {
      delete process.env.BLADEMARK_TEST_SECRET;
      delete process.env.FFREPORT;
    });
    const { stdout } = await held("none", "env", folderWith("clip.mp4"));
    expect(stdout).not.toMatch(/secret|FFREPORT|HOME=|USER=/);
    expect(stdout).toMatch(/^PATH=/m);
  });

  it("takes a name for a name, whatever is in it", async () => {
    const { program, args } = confined(
      "none",
      "printf",
      ["%s|", "$(id)", "a b", "'; exit 3", "-x", "\n"],
      "/c",
    );
    expect((await run(program, args)).stdout).toBe("$(id)|a b|'; exit 3|-x|\n|");
  });

  it("is what works here, found by trying, and never asked of a system that has none of it", async () => {
    const says = ["-version"];
    for (const other of ["win32", "darwin"] as const)
      expect(await closestCage(FFMPEG, says, other)).toEqual({
        cage: "none",
        said: expect.stringMatching(/ffmpeg version/),
      });
    expect(await closestCage("/no/such/program", says)).toBeNull();
    expect(confined("none", "ffmpeg.exe", ["-version"], "C:\\clip.mp4", "win32")).toEqual({
      program: "ffmpeg.exe",
      args: ["-version"],
    });
    const cage = (await closestCage(FFMPEG, says))?.cage ?? "none";
    const clip = folderWith("clip.mp4", "the clip");
    const other = folderWith("other.txt", "another file");
    expect((await held(cage, `cat '${clip}'`, clip)).stdout).toBe("the clip");
    if (cage !== "none") {
      // Two lines of heading; a machine without a network has at most its own loopback.
      const devices = (await held(cage, "cat /proc/net/dev", clip)).stdout.trim().split("\n").slice(2);
      expect(devices.filter((line) => !/^\s*lo:/.test(line))).toEqual([]);
      // No address is reachable, not even this machine's own: its loopback is down.
      expect((await held(cage, "cat < /dev/tcp/127.0.0.1/1", clip)).failed).toBe(true);
    }
    expect((await held(cage, `cat '${other}'`, clip)).failed).toBe(cage === "bubblewrap");
  });

  it("is asked for as each cage wants it", () => {
    const args = confined(
      "bubblewrap",
      "/opt/ff/ffmpeg",
      ["-i", "file:/clips/a.mp4"],
      "/clips/a.mp4",
      "linux",
    ).args;
    const after = args.slice(args.indexOf("bwrap"));
    expect(after).toContain("--unshare-net");
    expect(after.join(" ")).toContain("--ro-bind /clips/a.mp4 /clips/a.mp4");
    expect(after.join(" ")).toContain("--ro-bind-try /opt/ff /opt/ff");
    expect(after.filter((a) => /^--bind|^\/home|^\/$|^\/etc$/.test(a) && a !== "/")).toEqual([]);
    expect(after.slice(after.indexOf("--") + 1)).toEqual(["/opt/ff/ffmpeg", "-i", "file:/clips/a.mp4"]);
  });
});

describe("a clip that wants too much", () => {
  const like = (path: string): Ffmpeg => ({
    ...{ path, origin: "system", version: "test", cage: "none" },
    ...{ passThrough: ["-fps_mode", "passthrough"], showTimes: "showinfo" },
  });

  it("is given up when it makes ffmpeg talk without end and gives nothing", async () => {
    const path = folderWith(
      "ffmpeg",
      "#!/bin/sh\nwhile :; do echo '[h264 @ 0x1] [error] again' >&2; sleep 0.02; done\n",
    );
    chmodSync(path, 0o755);
    const talk = { file: path, container: "mov", output: [], onFrame: () => undefined } as const;
    const talking = runFfmpeg(like(path), { ...talk, silenceMs: 200 });
    talking.output.resume();
    await expect(talking.ended).rejects.toMatchObject({ code: "ffmpeg-hung" });
    expect(talking.log.problems.length).toBeLessThanOrEqual(20);
  });

  it("is refused when its picture is larger than any camera's", async () => {
    const file = join(temporaryFolder(), "huge.mkv");
    const made = spawnSync(
      FFMPEG,
      [
        "-v",
        "error",
        "-f",
        "lavfi",
        "-i",
        "color=s=12000x9000:r=1:d=1,format=gray",
        "-c:v",
        "png",
        "-frames:v",
        "1",
        file,
      ],
      { encoding: "utf8" },
    );
    expect(made.stderr).toBe("");
    await expect(frameIndex(await findFfmpeg(), file)).rejects.toMatchObject({
      coach: expect.stringMatching(/\.$/),
    });
  });
});

it("reads frames and stills in whatever it is held in here, and leaves no other way open", async () => {
  const real = await findFfmpeg();
  const file = await paintedClip({
    ...{ file: join(temporaryFolder(), "clip.mp4"), frames: 6, width: 192, height: 128, fps: 30, args: H264 },
  });
  for (const cage of new Set(["none", real.cage] as const)) {
    const ffmpeg = { ...real, cage };
    expect((await frameIndex(ffmpeg, file)).count).toBe(6);
    expect((await stillFrame(ffmpeg, file, 3)).subarray(1, 4).toString()).toBe("PNG");
    await expect(stillFrame(ffmpeg, file, 6)).rejects.toMatchObject({ code: "no-such-frame" });
    const stills = await exportStills(ffmpeg, file, [5, 1], { x: 0, y: 0, width: 64, height: 64 });
    expect([...stills.keys()]).toEqual([1, 5]);
  }
});
