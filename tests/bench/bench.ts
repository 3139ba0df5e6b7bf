import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { findFfmpeg } from "../../electron/clip/findFfmpeg.ts";
import { startServer } from "../../electron/serve.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { H264, paintedClip } from "../helpers/paintedClip.ts";

const FRAMES = 360;
const [WIDTH, HEIGHT, FPS] = [1920, 1080, 60];
const ROUNDS = 3;

/**
 * What preparing a clip costs over what ffmpeg alone needs for the same decode and JPEGs, measured in turns in one run,
 * and how fast one frame is served. Absolute rates depend on the machine; the ratio is what to watch.
 */
export async function main(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), "blademark-bench-"));
  try {
    const file = await paintedClip({
      ...{ file: join(folder, "bench.mp4"), frames: FRAMES, width: WIDTH, height: HEIGHT, fps: FPS },
      // Grain, because flat squares cost neither bits nor time.
      args: ["-vf", "noise=alls=12:allf=t", ...H264, "-bf", "2", "-g", "60", "-crf", "23"],
    });
    const { path, passThrough } = await findFfmpeg();
    const bare: number[] = [];
    const prepared: number[] = [];
    const latencies: number[] = [];
    for (let round = 0; round < ROUNDS; round++) {
      bare.push(await seconds(() => bareDecode(path, passThrough, file)));
      const study = makeStudy(folder, file, round);
      const server = await startServer({ study, windowDir: folder });
      prepared.push(await seconds(() => whole(server.url)));
      latencies.push(...(await serveFrames(server.url)));
      await server.close();
    }
    report(bare, prepared, latencies);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The same decode, conversion and JPEG quality, to nowhere: no times, no list, no file. */
function bareDecode(ffmpeg: string, passThrough: readonly string[], file: string): Promise<void> {
  const jpeg = [
    "-vf",
    "scale=out_range=full,format=yuvj420p",
    "-c:v",
    "mjpeg",
    "-q:v",
    "3",
    "-f",
    "null",
    "-",
  ];
  const child = spawn(ffmpeg, ["-v", "error", "-nostdin", "-i", file, ...passThrough, ...jpeg], {
    stdio: "ignore",
  });
  return new Promise((resolve, reject) => {
    child.on("error", reject);
    child.on("exit", (code) => (code === 0 ? resolve() : reject(new Error(`ffmpeg ended with ${code}`))));
  });
}

function makeStudy(folder: string, file: string, round: number): string {
  const study = join(folder, `study-${round}`);
  mkdirSync(study);
  const clips = [{ id: "bench", name: "bench.mp4", path: `../${file.slice(folder.length + 1)}`, bytes: 0 }];
  writeFileSync(join(study, "study.json"), JSON.stringify({ ...newStudy(), clips }));
  return study;
}

/** Until every frame can be served. */
async function whole(url: string): Promise<void> {
  for (;;) {
    const index = (await (await fetch(`${url}api/clips/bench/index`)).json()) as ClipIndex;
    if (index.state === "failed") throw new Error(index.failure ?? "");
    if (index.state === "ready") {
      if (index.ready !== FRAMES) throw new Error(`${index.ready} frames instead of ${FRAMES}`);
      return;
    }
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Milliseconds from asking for a frame to having its last byte, frames in a scattered but fixed order. */
async function serveFrames(url: string): Promise<number[]> {
  const taken: number[] = [];
  for (let i = 0; i < 200; i++) {
    const n = (i * 137) % FRAMES;
    const begun = performance.now();
    const answer = await fetch(`${url}api/clips/bench/frames/${n}`);
    await answer.arrayBuffer();
    if (answer.status !== 200) throw new Error(`frame ${n}: ${answer.status}`);
    // The first few pay for opening things.
    if (i >= 20) taken.push(performance.now() - begun);
  }
  return taken;
}

async function seconds(work: () => Promise<void>): Promise<number> {
  const begun = performance.now();
  await work();
  return (performance.now() - begun) / 1000;
}

function report(bare: readonly number[], prepared: readonly number[], latencies: readonly number[]): void {
  const rate = (s: number) => `${(FRAMES / s).toFixed(1)} frames/s`;
  const ratios = prepared.map((p, i) => p / bare[i]!);
  console.log(`${WIDTH} x ${HEIGHT}, ${FRAMES} frames, ${ROUNDS} rounds, medians`);
  console.log(`ffmpeg alone, decode and JPEG   ${rate(quantile(bare, 0.5))}`);
  console.log(`prepared and ready to serve     ${rate(quantile(prepared, 0.5))}`);
  console.log(
    `time over ffmpeg's              ${quantile(ratios, 0.5).toFixed(2)}  (${ratios.map((r) => r.toFixed(2)).join(", ")})`,
  );
  console.log(
    `one frame served                p50 ${quantile(latencies, 0.5).toFixed(1)} ms, p95 ${quantile(latencies, 0.95).toFixed(1)} ms`,
  );
}

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}
