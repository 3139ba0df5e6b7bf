import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { decodePictures, H264, paintedClip, readPaintedNumber } from "../helpers/paintedClip.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

const folder = sharedFolder();
let upright = "";
let turned = "";
let uneven = "";
beforeAll(async () => {
  const size = { width: 192, height: 128, fps: 60 };
  upright = await paintedClip({
    file: join(folder, "upright.mp4"),
    frames: 120,
    ...size,
    args: [...H264, "-bf", "2", "-g", "90"],
  });
  turned = await paintedClip({
    file: join(folder, "turned.mp4"),
    frames: 40,
    ...size,
    rotation: 270,
    args: ["-vf", "setsar=1/2", ...H264],
  });
  uneven = await paintedClip({
    ...{ file: join(folder, "- uneven 'x'.mp4"), frames: 40, ...size },
    args: [
      ...["-vf", "settb=1/90000,setpts='N*1500+mod(N*N*37,700)'", "-vsync", "passthrough"],
      ...["-enc_time_base", "1:90000", ...H264, "-video_track_timescale", "90000"],
    ],
  });
});

describe("frames", () => {
  it("prints the exact index as one JSON object", async () => {
    const { status, out, said } = await blademark("frames", upright, "--json");
    expect({ status, said }).toEqual({ status: 0, said: "" });
    expect(out.trimEnd().split("\n")).toHaveLength(1);
    const { times_s, ...json } = JSON.parse(out);
    expect(json).toEqual({
      ...{ format: "blademark.frames", version: 1, count: 120, width: 192, height: 128, rotation: 0 },
      ...{ codec: "h264", mirrored: false, rate_median_hz: 60, variable_rate: false, warnings: [] },
    });
    // Painted at 60 frames a second; docs/contracts.md prints microseconds.
    expect(times_s).toEqual(Array.from({ length: 120 }, (_, n) => Number((n / 60).toFixed(6))));
  });

  it("gives the displayed size of a turned clip with non-square pixels", async () => {
    const { out } = await blademark("frames", turned, "--json");
    // Coded 128 x 192, pixels half as wide as high; turned by a quarter they are twice as wide: 192 * 2 x 128.
    expect(JSON.parse(out)).toMatchObject({ count: 40, rotation: 270, width: 384, height: 128 });
  });

  it("keeps the times of a variable rate and says so", async () => {
    const { out, said } = await blademark("frames", uneven, "--json");
    const json = JSON.parse(out);
    expect(json.variable_rate).toBe(true);
    expect(said).toMatch(/not evenly spaced/);
    const ticks = Array.from({ length: 40 }, (_, n) => n * 1500 + ((n * n * 37) % 700));
    expect(json.times_s).toEqual(ticks.map((t) => Number((t / 90000).toFixed(6))));
  });

  it("says it in words", async () => {
    const { out } = await blademark("frames", upright);
    expect(out).toMatch(
      /^120 frames \(0 to 119\), the last at 1\.983333 s\n192 x 128 px as displayed, h264\n60\.000 frames a second/,
    );
  });

  it("answers 1, naming the file, when it is no clip", async () => {
    const words = join(folder, "words.mp4");
    writeFileSync(words, "five point one two\n".repeat(20));
    for (const file of [words, join(folder, "missing.mp4"), folder]) {
      const { status, out, said } = await blademark("frames", file, "--json");
      expect({ status, out }).toEqual({ status: 1, out: "" });
      expect(said).toContain(
        file === folder ? "is a folder" : file === words ? '"words.mp4"' : "There is no file",
      );
    }
  });
});

describe("still", () => {
  it.each([0, 1, 59, 60, 89, 90, 119])("writes exactly frame %d", async (n) => {
    const out = join(folder, `still ${n}.png`);
    const { status } = await blademark("still", upright, "--frame", String(n), "--out", out);
    expect(status).toBe(0);
    const [picture] = decodePictures([readFileSync(out)], 192, 128, "png_pipe");
    expect(readPaintedNumber(picture!.data, 192, 128)).toBe(n);
  });

  it("writes it as displayed", async () => {
    const out = join(folder, "turned.png");
    await blademark("still", turned, "--frame", "17", "--out", out);
    const [picture] = decodePictures([readFileSync(out)], 384, 128, "png_pipe");
    expect(readPaintedNumber(picture!.data, 384, 128)).toBe(17);
  });

  it("answers 1 for a frame that is not there, a clip that is none, and a folder that is none", async () => {
    const out = join(folder, "never.png");
    const beyond = await blademark("still", upright, "--frame", "120", "--out", out);
    expect(beyond.status).toBe(1);
    expect(beyond.said).toMatch(/120 frames, 0 to 119; there is no frame 120/);
    expect((await blademark("still", join(folder, "missing.mp4"), "--frame", "0", "--out", out)).status).toBe(
      1,
    );
    expect(
      (await blademark("still", upright, "--frame", "0", "--out", join(folder, "no", "x.png"))).status,
    ).toBe(1);
    expect(readdirSync(folder).filter((name) => name === "never.png" || name.endsWith(".tmp"))).toEqual([]);
  });
});
