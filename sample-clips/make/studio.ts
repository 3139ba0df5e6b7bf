/** The Node half: a headless browser draws, ffmpeg writes. */
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, writeFileSync } from "node:fs";
import { createServer, type IncomingMessage } from "node:http";
import type { AddressInfo } from "node:net";
import { chromium } from "playwright";
import type { ClipSpec } from "./people.ts";

const CHROMIUM = "/usr/bin/chromium";
const FLAGS = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"];

/** H.264 that every player decodes: closed groups of 60 frames, BT.709 said in the file. */
function encoder(clip: ClipSpec, out: string): ChildProcessWithoutNullStreams {
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
    ...[
      "-v",
      "error",
      "-y",
      "-f",
      "rawvideo",
      "-pix_fmt",
      "rgba",
      "-s",
      `${clip.camera.width}x${clip.camera.height}`,
    ],
    ...[
      "-r",
      `${clip.claimedFps}`,
      "-i",
      "-",
      "-vf",
      "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p",
    ],
    ...[
      "-c:v",
      "libx264",
      "-profile:v",
      "high",
      "-preset",
      "slow",
      "-crf",
      "19",
      "-tune",
      "animation",
      "-threads",
      "2",
    ],
    ...["-x264-params", "keyint=60:min-keyint=60:scenecut=0:open-gop=0:threads=2", ...bt709],
    ...["-fflags", "+bitexact", "-flags:v", "+bitexact", "-movflags", "+faststart", out],
  ]);
}

async function bodyOf(request: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts);
}

/** Renders one clip to `out`; with `stills`, only those frames, each to `out` with the frame's number put in. */
export async function film(
  clip: ClipSpec,
  script: string,
  out: string,
  stills: readonly number[] | null,
): Promise<void> {
  const { width, height } = clip.camera;
  const ffmpeg = stills ? null : encoder(clip, out);
  ffmpeg?.stderr.on("data", (text) => process.stderr.write(text));
  let background: Buffer = Buffer.alloc(0);
  let sent = 0;
  const write = async (picture: Buffer) => {
    const still = stills?.[sent++];
    if (ffmpeg) {
      if (!ffmpeg.stdin.write(picture)) await once(ffmpeg.stdin, "drain");
    } else writeFileSync(out.replace("%", `${still}`), picture);
  };
  const server = createServer(async (request, response) => {
    const url = new URL(request.url ?? "/", "http://localhost");
    if (request.method === "GET") {
      response.setHeader("content-type", "text/html");
      response.end(
        `<!doctype html><script type="module">${script.replaceAll("</script", "<\\/script")}</script>`,
      );
      return;
    }
    const body = await bodyOf(request);
    if (url.pathname === "/background") background = body;
    else {
      const [x, y, w, h] = ["x", "y", "w", "h"].map((k) => Number(url.searchParams.get(k)));
      const picture = Buffer.from(background);
      for (let row = 0; row < h!; row++) {
        body.copy(picture, 4 * ((y! + row) * width + x!), 4 * row * w!, 4 * (row + 1) * w!);
      }
      await write(picture);
    }
    response.end("ok");
  });
  if (width % 2 || height % 2) throw new Error("4:2:0 needs even sizes");
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
  const browser = await chromium.launch({
    ...(existsSync(CHROMIUM) ? { executablePath: CHROMIUM } : {}),
    args: process.getuid?.() === 0 ? [...FLAGS, "--no-sandbox"] : FLAGS,
  });
  try {
    const page = await browser.newPage();
    page.on("console", (m) => m.type() === "error" && console.error(m.text()));
    page.on("pageerror", (e) => console.error(e));
    await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
    const call = `film(${JSON.stringify(clip.name)}, ${JSON.stringify(stills)})`;
    await page.evaluate(call);
  } finally {
    await browser.close();
    server.close();
  }
  if (ffmpeg) {
    ffmpeg.stdin.end();
    const [status] = await once(ffmpeg, "close");
    if (status !== 0) throw new Error(`ffmpeg ended with ${status} on ${clip.name}`);
  }
}
