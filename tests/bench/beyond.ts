import { statSync } from "node:fs";
import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import { timedJump, untilShown } from "./benchWindow.ts";
import type { Probe } from "./probe.ts";
import { megabytes, p50p95, quantile, type Row } from "./table.ts";

/** Where one jumps to while the clip has just begun to be prepared, share of the clip. */
const TARGETS = [0.45, 0.6, 0.75, 0.9, 0.97];
const ATTACHED = 4;

/** While a clip is being prepared: a jump beyond what is ready, and the first frame after attaching. */
export async function beyondRows(bench: Bench, clip: BenchClip): Promise<Row[]> {
  const jumps: number[] = [];
  for (const share of TARGETS) {
    const host = await bench.host(clip);
    const page = await bench.window(host.url, clip);
    await untilShown(page);
    jumps.push((await timedJump(page, Math.floor(share * clip.frames))).ms);
    await page.close();
    await host.close();
  }
  const first: ReturnType<Probe["firstFrame"]>[] = [];
  const { size } = statSync(await bench.file(clip));
  for (let i = 0; i < ATTACHED; i++) {
    const host = await bench.host(null);
    const page = await bench.window(host.url, clip);
    await page
      .locator("input[type=file]")
      .first()
      .setInputFiles(await bench.file(clip));
    await untilShown(page);
    first.push(await page.evaluate(() => (window as unknown as { probe: Probe }).probe.firstFrame()));
    await page.close();
    await host.close();
  }
  const row = (what: string, ms: readonly number[]): Row => ({
    ...{ clip: clip.name, what, limit: "under 1000 ms", met: Math.max(...ms) < 1000 },
    value: `p50 ${quantile(ms, 0.5).toFixed(0)} ms, most ${Math.max(...ms).toFixed(0)} ms`,
  });
  return [
    { clip: clip.name, what: "jump beyond what is ready", value: p50p95(jumps) },
    row(
      `first frame after choosing ${megabytes(size)}`,
      first.map((f) => f.chosen),
    ),
    row(
      "... after they were copied into the study",
      first.map((f) => f.copied),
    ),
  ];
}
