import { spawn } from "node:child_process";
import { setPriority } from "node:os";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import { megabytes, quantile, type Row } from "./table.ts";

const ROUNDS = 3;
/** The app prepares at this niceness, so that the window goes first; beside other programs ffmpeg alone must not. */
const NICE = 10;

/**
 * What preparing a clip costs over what ffmpeg alone needs, measured in turns in one run. Absolute rates depend on the
 * machine; the ratios are what to watch.
 */
export async function preparationRows(bench: Bench, clip: BenchClip): Promise<Row[]> {
  const file = await bench.file(clip);
  const { path, passThrough } = await findFfmpeg();
  // The app's own conversion and JPEG quality, to nowhere: no times, no list, no file.
  const jpeg = ["-vf", "scale=out_range=full,format=yuvj420p", "-c:v", "mjpeg", "-q:v", "3"];
  const alone = (args: readonly string[]) =>
    seconds(() =>
      run(path, ["-v", "error", "-nostdin", "-i", file, ...passThrough, ...args, "-f", "null", "-"]),
    );
  const decode: number[] = [];
  const both: number[] = [];
  const prepared: number[] = [];
  let disk = 0;
  let memory: number | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    decode.push(await alone([]));
    both.push(await alone(jpeg));
    const host = await bench.host(clip);
    prepared.push(await seconds(() => host.untilReady()));
    const { ready } = await host.index();
    if (ready !== clip.frames) throw new Error(`${ready} frames prepared instead of ${clip.frames}`);
    disk = Math.max(disk, host.diskBytes());
    memory = host.peakBytes();
    await host.close();
  }
  const rate = (times: readonly number[]) => clip.frames / quantile(times, 0.5);
  const row = (what: string, value: string, asked?: Pick<Row, "limit" | "met">): Row => ({
    ...{ clip: clip.name, what, value },
    ...asked,
  });
  const ratio = (times: readonly number[]) => rate(prepared) / rate(times);
  const against = (times: readonly number[]) => ratio(times).toFixed(2);
  return [
    row("ffmpeg alone, decode", `${rate(decode).toFixed(0)} frames/s`),
    row("ffmpeg alone, decode + JPEG", `${rate(both).toFixed(0)} frames/s`),
    row("prepared", `${rate(prepared).toFixed(0)} frames/s`),
    row("prepared : decode", against(decode)),
    row("prepared : decode + JPEG", against(both), {
      limit: "0.8 or more",
      met: ratio(both) >= 0.8,
    }),
    row("prepared frames on disk, peak", megabytes(disk)),
    row("host while preparing, peak", memory === null ? "not known here" : megabytes(memory)),
  ];
}

function run(program: string, args: readonly string[]): Promise<void> {
  const child = spawn(program, args, { stdio: "ignore" });
  if (child.pid !== undefined) setPriority(child.pid, NICE);
  return new Promise((resolve, reject) => {
    child.on("error", reject);
    child.on("exit", (code) => (code === 0 ? resolve() : reject(new Error(`ffmpeg ended with ${code}`))));
  });
}

async function seconds(work: () => Promise<unknown>): Promise<number> {
  const begun = performance.now();
  await work();
  return (performance.now() - begun) / 1000;
}
