import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { FFMPEG, H264 } from "../helpers/paintedClip.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import type { MeasureDocument } from "../validate/drive.ts";
import { judge } from "../validate/judge.ts";
import { type FilmedPan, filmPan } from "../validate/pans/filmPan.ts";
import { paintedFrames } from "../validate/pans/paintedPan.ts";
import { KINDS } from "../validate/pans/pan.ts";

/**
 * A pan as a phone keeps it: painted by the validation's own camera (boards above pale ice, the skater before them), coded as H.264 and
 * at ordinary and poor quality, then through `motion` and `measure`. Larger pictures and other pans: docs/camera-motion.md.
 */
const kind = { ...KINDS.panned!, width: 480, fps: [50], reach: 6.5 };

async function coded(film: FilmedPan, file: string, quality: number): Promise<void> {
  const { width, height } = film.picture;
  const raw = ["-f", "rawvideo", "-pix_fmt", "gray", "-s", `${width}x${height}`, "-r", String(film.fps)];
  const child = spawn(
    FFMPEG,
    ["-v", "error", ...raw, "-i", "pipe:0", ...H264, "-crf", String(quality), file],
    { stdio: ["pipe", "ignore", "inherit"] },
  );
  const ended = once(child, "close");
  for (const { data } of paintedFrames(film, 3, true))
    if (!child.stdin.write(data)) await once(child.stdin, "drain");
  child.stdin.end();
  expect((await ended)[0]).toBe(0);
}

it.each([23, 28])("a coded pan is followed and measured at quality %i", async (quality) => {
  const folder = temporaryFolder();
  const film = filmPan(11, kind, 0, 0);
  const clip = join(folder, "pan.mp4");
  await coded(film, clip, quality);
  const found = JSON.parse((await blademark("motion", clip, "--json")).out);
  const told = found.frames.filter(({ map }: { map: unknown }) => map !== null).length;
  expect(told).toBeGreaterThan(0.95 * found.frames.length);
  // The clip begins with the first frame that is of use; the tables count from where the skater starts.
  for (const frame of found.frames) frame.frame += film.part[0];
  const put = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    return join(folder, name);
  };
  const { status, out } = await blademark(
    ...["measure", "--marks", put("marks.csv", film.tables.marks)],
    ...["--events", put("events.csv", film.tables.events)],
    ...["--ice-frames", put("ice.csv", film.tables.ice)],
    ...["--motion", put("motion.json", JSON.stringify(found))],
    ...[
      "--picture",
      `${film.picture.width}x${film.picture.height}`,
      "--mark-sd",
      String(film.picture.width / 1920),
      "--json",
    ],
  );
  expect(status).toBe(0);
  const document: MeasureDocument = JSON.parse(out);
  const given = judge(film, document, null).filter(
    ({ quantity, error }) => quantity.endsWith("_m") && !/^(first|mean) /.test(quantity) && error !== null,
  );
  expect(given.length).toBeGreaterThanOrEqual(8);
  expect(given.filter((v) => v.covered).length).toBeGreaterThanOrEqual(0.85 * given.length);
});
