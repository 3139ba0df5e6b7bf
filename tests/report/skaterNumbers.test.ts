import { describe, expect, it } from "vitest";
import type { SkaterColumn } from "../../src/report/page/skaterMeans.ts";
import { skaterNumbers } from "../../src/report/page/skaterNumbers.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { formatReading } from "../../src/uncertainty/format.ts";
import { demo } from "../helpers/demoReadings.ts";

const whole = demo();
const readingOf = measuredOnce(whole);

function columns(repeats: number): SkaterColumn[] {
  return whole.study.techniques.flatMap((technique) => {
    const trial = whole.study.trials.find((t) => t.id === `aino-${technique.id}-1`)!;
    return Array.from({ length: repeats }, (_, k) => ({
      trial: { ...trial, repeat: k + 1 },
      technique,
      name: technique.name,
    }));
  });
}

/** "1.279 ± 0.022", as it stands beside one trial. */
function trialCell({ trial }: SkaterColumn): string {
  const reading = readingOf(trial.id);
  const width = reading.ok ? reading.value.trial.stride_width_m : null;
  if (!width || "why" in width) throw new Error("the demo's first trial has a width");
  return formatReading({ value: width.mean, u95: width.u95 }, "");
}

const heads = (table: string) => table.match(/<th scope="col"/g)?.length;

describe("a skater's numbers", () => {
  it("have left and right beside each other, and how far they differ", () => {
    const tove = whole.study.techniques.flatMap((technique) =>
      whole.study.trials
        .filter((t) => t.id === "tove-close-1" && t.technique === technique.id)
        .map((trial) => ({ trial, technique, name: technique.name })),
    );
    const table = skaterNumbers(tove, readingOf).sides!.text;
    const row = table.match(/touchdown to track midline, m<\/th>(.*?)<\/tr>/)![1]!;
    const cells = [...row.matchAll(/<td[^>]*>(?:<strong>)?([^<]*)/g)].map((m) =>
      m[1]!.replaceAll("\u00a0", " ").replaceAll("\u2212", "-"),
    );
    const [left, right, apart] = cells.map((c) => c.split(" ± ").map(Number) as [number, number]);
    // sample-clips/truth/tove-close-1.json: her left blade comes down 6.9 cm out in the mean, her right one 2.0 cm.
    expect(Math.abs(left![0] - 0.069)).toBeLessThan(left![1]);
    expect(Math.abs(right![0] - 0.02)).toBeLessThan(right![1]);
    expect(Math.abs(apart![0] - 0.049)).toBeLessThan(apart![1]);
    expect(apart![0]).toBeGreaterThan(apart![1]);
    expect(row).toContain("<strong>");
    expect(skaterNumbers(tove, readingOf).tables[0]!.text).toMatch(
      /touchdown to track midline, m<\/th><td[^>]*>[^<]*<small>left 0\.0[67]\d+, right 0\.0[12]\d+<\/small>/,
    );
  });

  it("stand beside each other where the paper is wide enough, else as times and means of each technique", () => {
    expect(skaterNumbers(columns(3), readingOf).tables.map((t) => heads(t.text))).toEqual([6]);
    expect(skaterNumbers(columns(4), readingOf).tables.map((t) => heads(t.text))).toEqual([2]);
    const [table] = skaterNumbers(columns(8), readingOf).tables;
    expect(heads(table!.text)).toBe(2);
    // The same trial eight times over: its time eight times, its mean as it stands, as sure as one trial.
    const time = whole.study.trials.find((t) => t.id === "aino-close-1")!.time!;
    expect(table!.text).toContain(Array(8).fill(time.toFixed(2)).join(" "));
    const width = trialCell(columns(1)[0]!);
    expect(table!.text.replaceAll("\u00a0", " ")).toContain(`${width.replaceAll("\u00a0", " ")} (8)`);
  });

  it("have each reason once, with all it holds for", () => {
    const bare = columns(2).map((c) => ({ ...c, trial: { ...c.trial, clip: undefined } }));
    const { missing, some } = skaterNumbers(
      bare.map(({ trial: { clip: _, ...trial }, ...c }) => ({ ...c, trial })),
      readingOf,
    );
    expect(some).toBe(false);
    expect(missing).toEqual([
      "close recovery, 1; close recovery, 2; open recovery, 1; open recovery, 2. No clip is linked, so nothing can be measured on it.",
    ]);
  });

  it("have rows for arms only where somebody marked them", () => {
    expect(skaterNumbers(columns(1), readingOf).tables[0]!.text).toContain("left arm-swing direction, °");
    const signe = whole.study.trials.find((t) => t.id === "signe-close-1")!;
    const technique = whole.study.techniques[0]!;
    const armless = {
      ...whole,
      marks: {
        [signe.id]: {
          ...whole.marks[signe.id]!,
          events: whole.marks[signe.id]!.events.filter(
            (e) => e.event.startsWith("blade") || e.event === "recovery_min",
          ),
        },
      },
    };
    const { tables, missing } = skaterNumbers(
      [{ trial: signe, technique, name: technique.name }],
      measuredOnce(armless),
    );
    expect(tables[0]!.text).not.toContain("arm-swing");
    expect(missing.join()).not.toContain("arm");
  });
});
