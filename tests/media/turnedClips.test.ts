import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { exportStills } from "../../electron/clip/ffmpeg/exportStills.ts";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { stillFrame } from "../../electron/clip/ffmpeg/stillFrame.ts";
import type { HandTurn, Study } from "../../src/study/types.ts";
import { FFMPEG, H264, numbersIn, paintedClip } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

/**
 * The clips lie turned in their files without the files saying so; turned back by hand each picture must be upright again
 * (`readPaintedNumber` refuses any other way up) and show its own number.
 */
const [WIDTH, HEIGHT, FRAMES] = [480, 320, 24];
/** ffmpeg's filter that puts the upright picture wrong, by the turn that puts it right. */
const WRONG: Readonly<Record<HandTurn, string>> = {
  90: "transpose=cclock",
  180: "hflip,vflip",
  270: "transpose=clock",
};
const TURNS = [90, 180, 270] as const;
const folder = sharedFolder();
const files = new Map<HandTurn, string>();
beforeAll(async () => {
  const size = { width: WIDTH, height: HEIGHT, fps: 24 };
  const upright = await paintedClip({ file: join(folder, "up.mp4"), frames: FRAMES, ...size, args: H264 });
  for (const turn of TURNS) {
    const file = join(folder, `by ${turn}.mp4`);
    execFileSync(FFMPEG, ["-v", "error", "-y", "-i", upright, "-vf", WRONG[turn], ...H264, file]);
    files.set(turn, file);
  }
});

describe("a clip turned by hand", () => {
  it.each(TURNS)(
    "by %i° is upright in the window, in its small pictures and in stills, and as large as it is shown",
    async (turn) => {
      const file = files.get(turn)!;
      const host = await testHost(studyFolder(undefined, undefined, [file]));
      const lying = await host.until("clip-0", ended);
      const onSide = turn !== 180;
      expect([lying.width, lying.height]).toEqual(onSide ? [HEIGHT, WIDTH] : [WIDTH, HEIGHT]);
      const before = (await host.get("/api/clips/clip-0/frames/7")).headers.get("etag");

      const study = (await (await host.get("/api/study")).json()).study as Study;
      const clips = study.clips.map((c) => ({ ...c, turn }));
      expect((await host.putJson("/api/study", { ...study, clips })).status).toBe(200);
      const index = await host.until("clip-0", (i) => i.turn === turn && ended(i));
      expect(index).toMatchObject({
        state: "ready",
        width: WIDTH,
        height: HEIGHT,
        rotation: turn,
        count: FRAMES,
      });
      const { jpegs } = await host.frames("clip-0", FRAMES);
      expect(numbersIn(jpegs, WIDTH, HEIGHT)).toEqual(Array.from({ length: FRAMES }, (_, n) => n));
      const after = (await host.get("/api/clips/clip-0/frames/7")).headers.get("etag");
      expect(after, "a browser must not take one picture for the other").not.toBe(before);
      const small = await host.glimpse("clip-0", 0);
      expect(numbersIn([new Uint8Array(await small.arrayBuffer())], 144, 96)).toEqual([0]);

      const ffmpeg = await findFfmpeg();
      const all = { x: 0, y: 0, width: WIDTH, height: HEIGHT };
      const still = (await exportStills(ffmpeg, file, [5], all, turn)).get(5)!;
      expect(numbersIn([new Uint8Array(still)], WIDTH, HEIGHT)).toEqual([5]);
      // PNG: the width and height stand at bytes 16 to 23 (W3C PNG, 11.2.2).
      const png = await stillFrame(ffmpeg, file, 5, turn);
      expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([WIDTH, HEIGHT]);

      // Taken back, the first pictures are there again.
      expect((await host.putJson("/api/study", study)).status).toBe(200);
      const again = await host.until("clip-0", (i) => i.turn === 0 && ended(i));
      expect([again.width, again.height]).toEqual([lying.width, lying.height]);
      expect((await host.get("/api/clips/clip-0/frames/7")).headers.get("etag")).toBe(before);
    },
  );
});
