import { execFileSync } from "node:child_process";
import { cpus, loadavg } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright";
import { FFMPEG } from "../helpers/paintedClip.ts";
import { type BenchClip, benchClip, CLIPS } from "./benchClips.ts";
import { type BenchHost, benchHost } from "./benchHost.ts";
import { benchBrowser, benchWindow } from "./benchWindow.ts";
import { beyondRows } from "./beyond.ts";
import { main as fuzzClips } from "./fuzzClips.ts";
import { holdRows } from "./hold.ts";
import { leakRows } from "./leak.ts";
import { longRows } from "./longClips.ts";
import { measuringRows } from "./measuring.ts";
import { preparationRows } from "./preparation.ts";
import { reportingRows } from "./reporting.ts";
import { seasonRows } from "./season.ts";
import { stepRows } from "./steps.ts";
import { suggestingRows } from "./suggesting.ts";
import { printTable, type Row } from "./table.ts";

/** What every measurement needs: clips, hosts in processes of their own, windows in a real browser. */
export interface Bench {
  file(clip: BenchClip): Promise<string>;
  /** A fresh host over a study with that clip linked, or without any; closed when the noun is done. */
  host(clip: BenchClip | null): Promise<BenchHost>;
  window(url: string, clip: BenchClip): Promise<Page>;
}

const NOUNS: Readonly<Record<string, (bench: Bench, clip: BenchClip) => Promise<Row[]>>> = {
  preparation: preparationRows,
  steps: stepRows,
  hold: holdRows,
  beyond: beyondRows,
  leak: leakRows,
};

/** These need no clip of the bench's own. */
const ALONE: Readonly<Record<string, (root: string) => Row[] | Promise<Row[]>>> = {
  measuring: measuringRows,
  reporting: reportingRows,
  season: seasonRows,
  long: longRows,
  suggesting: suggestingRows,
};

/**
 * @param root the repository
 * @param asked nouns (`steps`, `hold` …) and clips (`1080p60` …); nothing of a kind = all of it. Or `fuzz`, a number of
 *   mutated clips and a seed: no timing, but as slow
 */
export async function main(root: string, asked: readonly string[]): Promise<void> {
  for (const [name, measure] of Object.entries(ALONE))
    if (asked.length === 0 || asked.includes(name)) printTable(await measure(root));
  if (asked.length > 0 && asked.every((a) => a in ALONE)) return;
  if (asked[0] === "fuzz") return fuzzClips(asked.slice(1));
  const unknown = asked.filter((a) => !(a in ALONE) && !(a in NOUNS) && !CLIPS.some((c) => c.name === a));
  if (unknown.length > 0) {
    const known = [...Object.keys(ALONE), ...Object.keys(NOUNS), ...CLIPS.map((c) => c.name)].join(", ");
    throw new Error(`nothing to measure is named ${unknown.join(", ")}; there are ${known}`);
  }
  const nouns = Object.entries(NOUNS).filter(([name]) => asked.includes(name));
  const clips = CLIPS.filter((c) => asked.includes(c.name));
  const folder = join(root, "dist/bench/clips");
  const file = (clip: BenchClip) => benchClip(folder, clip);
  const browser = await benchBrowser();
  const bench: Bench = {
    file,
    async host(clip) {
      const host = await benchHost(root, clip && (await file(clip)));
      hosts.push(host);
      return host;
    },
    window: (url, clip) => benchWindow(browser, url, clip),
  };
  const hosts: BenchHost[] = [];
  const rows: Row[] = [];
  try {
    for (const clip of clips.length > 0 ? clips : CLIPS) {
      await file(clip);
      for (const [name, measure] of nouns.length > 0 ? nouns : Object.entries(NOUNS)) {
        console.error(`${clip.name}: ${name}, load ${load()}`);
        rows.push(...(await measure(bench, clip)));
        for (const host of hosts.splice(0)) await host.close();
      }
    }
  } finally {
    await browser.close();
    for (const host of hosts) await host.close();
  }
  console.log(`${cpus().length} cores, ${ffmpegVersion()}, Chromium ${browser.version()}, load ${load()}`);
  printTable(rows);
}

function load(): string {
  return loadavg()
    .slice(0, 2)
    .map((l) => l.toFixed(1))
    .join(" ");
}

function ffmpegVersion(): string {
  return execFileSync(FFMPEG, ["-version"], { encoding: "utf8" }).split(" ").slice(0, 3).join(" ");
}
