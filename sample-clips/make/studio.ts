/** One clip from empty hall to file: a headless browser draws the hall, the painter adds the skater, ffmpeg writes. */
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, writeFileSync } from "node:fs";
import { createServer, type IncomingMessage } from "node:http";
import type { AddressInfo } from "node:net";
import { chromium } from "playwright";
import type { Camera } from "./camera.ts";
import { type ClockSpec, clockTimes } from "./clock.ts";
import { ClockPainter } from "./clockPainter.ts";
import { Painter } from "./painter.ts";
import type { ClipSpec, Footage } from "./people.ts";
import { besideRun, makeRun } from "./run.ts";
import { frameTimes } from "./timing.ts";

const CHROMIUM = process.env.CHROMIUM_PATH ?? "/usr/bin/chromium";
const PATIENCE_MS = 600_000;
const FLAGS = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"];

/** H.264 that every player decodes: closed groups of 60 frames, BT.709 said in the file. `fps` is what the file claims. */
function encoder({ camera, fps, out, footage }: File): ChildProcessWithoutNullStreams {
  const { width, height } = camera;
  const filters = footage ? footage.filters : [];
  const packed = footage
    ? ["-preset", "veryfast", "-crf", `${footage.crf}`]
    : ["-preset", "slow", "-crf", "19", "-tune", "animation"];
  const bt709 = [
    "-colorspace",
    "bt709",
    "-color_primaries",
    "bt709",
    "-color_trc",
    "bt709",
    "-color_range",
    "tv",
  ];
  return spawn("ffmpeg", [
    ...["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "rgba", "-s", `${width}x${height}`],
    ...["-r", `${fps}`, "-i", "-", "-vf"],
    [...filters, "scale=out_color_matrix=bt709:out_range=tv", "format=yuv420p"].join(","),
    ...["-c:v", "libx264", "-profile:v", "high", ...packed],
    ...["-x264-params", "keyint=60:min-keyint=60:scenecut=0:open-gop=0:threads=2", ...bt709],
    ...["-fflags", "+bitexact", "-flags:v", "+bitexact", "-movflags", "+faststart", out],
  ]);
}

async function bodyOf(request: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts);
}

const halls = new Map<string, Promise<Buffer>>();

/** The empty hall as the clip's camera sees it, RGBA rows; drawn once for clips that look alike. */
function emptyHall(clip: ClipSpec, script: string): Promise<Buffer> {
  const key = JSON.stringify([clip.camera, clip.marks]);
  const hall = halls.get(key) ?? drawnHall(clip, script);
  halls.set(key, hall);
  return hall;
}

async function drawnHall(clip: ClipSpec, script: string): Promise<Buffer> {
  let hall: Buffer | null = null;
  const server = createServer(async (request, response) => {
    if (request.method === "POST") hall = await bodyOf(request);
    else response.setHeader("content-type", "text/html");
    const page = `<!doctype html><script type="module">${script.replaceAll("</script", "<\\/script")}</script>`;
    response.end(request.method === "POST" ? "ok" : page);
  });
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
  const browser = await chromium.launch({
    ...(existsSync(CHROMIUM) ? { executablePath: CHROMIUM } : {}),
    args: process.getuid?.() === 0 ? [...FLAGS, "--no-sandbox"] : FLAGS,
  });
  try {
    const page = await browser.newPage();
    page.on("pageerror", (e) => console.error(e));
    // A busy machine draws it too, only later.
    page.setDefaultTimeout(PATIENCE_MS);
    await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
    await page.evaluate(`drawHall(${JSON.stringify(clip.camera)}, ${JSON.stringify(clip.marks)})`);
  } finally {
    await browser.close();
    server.close();
  }
  if (!hall) throw new Error(`the hall of ${clip.name} was not drawn`);
  return hall;
}

/** Makes one clip as `out`; with `stills`, only those frames as raw RGBA, each to `out` with its number for `%`. */
export async function film(
  clip: ClipSpec,
  script: string,
  out: string,
  stills: readonly number[] | null,
): Promise<void> {
  const hall = await emptyHall(clip, script);
  const run = makeRun(clip.run);
  const painter = new Painter(clip, run);
  const other = clip.other && besideRun(clip.other);
  const behind = other && new Painter({ ...clip, run: other.spec }, other);
  const times = frameTimes(clip, run);
  const pictures = (n: number): Buffer => {
    const picture = Buffer.from(hall);
    // Whoever is not looked at is the farther one.
    behind?.paint(picture, times[n]!);
    painter.paint(picture, times[n]!);
    return picture;
  };
  const file = { camera: clip.camera, fps: clip.claimedFps, out, footage: clip.footage };
  await write(file, stills ? { stills } : { count: times.length }, pictures);
}

/** The same for the timing display, which needs no hall. */
export async function filmClock(
  spec: ClockSpec,
  out: string,
  stills: readonly number[] | null,
): Promise<void> {
  const painter = new ClockPainter(spec);
  const times = clockTimes(spec);
  const file = { camera: spec.camera, fps: spec.fps, out };
  await write(file, stills ? { stills } : { count: times.length }, (n) => painter.paint(times[n]!));
}

interface File {
  readonly camera: Camera;
  readonly fps: number;
  readonly out: string;
  readonly footage?: Footage | undefined;
}

async function write(
  file: File,
  what: { readonly stills: readonly number[] } | { readonly count: number },
  picture: (n: number) => Buffer,
): Promise<void> {
  const { out } = file;
  if ("stills" in what) {
    for (const n of what.stills) writeFileSync(out.replace("%", `${n}`), picture(n));
    return;
  }
  const ffmpeg = encoder(file);
  ffmpeg.stderr.on("data", (text) => process.stderr.write(text));
  for (let n = 0; n < what.count; n++) {
    if (!ffmpeg.stdin.write(picture(n))) await once(ffmpeg.stdin, "drain");
  }
  ffmpeg.stdin.end();
  const [status] = await once(ffmpeg, "close");
  if (status !== 0) throw new Error(`ffmpeg ended with ${status} on ${out}`);
}
