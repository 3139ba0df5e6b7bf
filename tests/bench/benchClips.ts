import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdirSync, renameSync } from "node:fs";
import { join } from "node:path";
import { FFMPEG, H264, painted } from "../helpers/paintedClip.ts";

export interface BenchClip {
  readonly name: "1080p60" | "1080p240" | "4K60";
  readonly width: number;
  readonly height: number;
  readonly fps: number;
  readonly frames: number;
  /** Frames from one key frame to the next, as phones have it. */
  readonly gop: number;
}

export const CLIPS: readonly BenchClip[] = [
  { name: "1080p60", width: 1920, height: 1080, fps: 60, frames: 480, gop: 60 },
  { name: "1080p240", width: 1920, height: 1080, fps: 240, frames: 960, gop: 240 },
  { name: "4K60", width: 3840, height: 2160, fps: 60, frames: 180, gop: 60 },
];

/** Where the painted number lies in the picture, px: the bottom's middle, an eighth of the width. */
export function paintedBox({ width, height }: { width: number; height: number }) {
  const [w, h] = [width / 8, width / 12];
  return { x: (width - w) / 2, y: height - h, width: w, height: h };
}

/**
 * Makes the clip in `folder` unless it is there: a moving test picture with grain (flat areas would cost neither bits
 * nor time), and each frame's own number painted into it.
 */
export async function benchClip(folder: string, clip: BenchClip): Promise<string> {
  const { name, width, height, fps, frames, gop } = clip;
  const file = join(folder, `${name}-${frames}.mp4`);
  if (existsSync(file)) return file;
  mkdirSync(folder, { recursive: true });
  const box = paintedBox(clip);
  const whole = `${file}.part.mp4`;
  const child = spawn(
    FFMPEG,
    [
      ...["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray", "-s", `${box.width}x${box.height}`],
      ...["-r", String(fps), "-i", "pipe:0"],
      ...["-f", "lavfi", "-i", `testsrc2=size=${width}x${height}:rate=${fps},noise=alls=10:allf=t`],
      ...["-filter_complex", `[1:v][0:v]overlay=x=${box.x}:y=${box.y}:shortest=1`],
      ...[...H264, "-bf", "2", "-g", String(gop), "-crf", "23", whole],
    ],
    { stdio: ["pipe", "ignore", "inherit"] },
  );
  const ended = once(child, "close");
  child.stdin.on("error", () => undefined);
  for (let n = 0; n < frames && !child.stdin.destroyed; n++) {
    if (!child.stdin.write(painted(n, box.width, box.height)))
      await Promise.race([once(child.stdin, "drain"), ended]);
  }
  child.stdin.end();
  const [code] = await ended;
  if (code !== 0) throw new Error(`ffmpeg could not make ${file}`);
  renameSync(whole, file);
  return file;
}
