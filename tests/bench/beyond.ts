import type { Bench } from "./bench.ts";
import type { BenchClip } from "./benchClips.ts";
import { timedJump, untilShown } from "./benchWindow.ts";
import type { Probe } from "./probe.ts";
import { p50p95, quantile, type Row } from "./table.ts";

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
  const first: number[] = [];
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
  return [
    { clip: clip.name, what: "jump beyond what is ready", value: p50p95(jumps) },
    {
      clip: clip.name,
      what: "first frame after attaching",
      value: `p50 ${quantile(first, 0.5).toFixed(0)} ms, most ${Math.max(...first).toFixed(0)} ms`,
      limit: "under 1000 ms",
      met: Math.max(...first) < 1000,
    },
  ];
}
