/** One line of the bench's table. */
export interface Row {
  readonly clip: string;
  readonly what: string;
  readonly value: string;
  /** The bound the project sets itself. */
  readonly limit?: string;
  /** Whether this run kept it. Timings say nothing on a busy machine. */
  readonly met?: boolean;
}

export function printTable(rows: readonly Row[]): void {
  const cells = [
    ["clip", "what", "had", "asked", "met"],
    ...rows.map((r) => [
      r.clip,
      r.what,
      r.value,
      r.limit ?? "",
      r.met === undefined ? "" : r.met ? "yes" : "NO",
    ]),
  ];
  const widths = cells[0]!.map((_, c) => c).map((c) => Math.max(...cells.map((row) => row[c]!.length)));
  for (const [i, row] of cells.entries()) {
    console.log(
      row
        .map((cell, c) => cell.padEnd(widths[c]!))
        .join("  ")
        .trimEnd(),
    );
    if (i === 0) console.log(widths.map((w) => "-".repeat(w)).join("  "));
  }
}

/** A row of times of which 95 in 100 are to stay under `most` ms. */
export function timesRow(clip: string, what: string, ms: readonly number[], most: number): Row {
  const met = quantile(ms, 0.95) < most;
  return { clip, what, value: p50p95(ms), limit: `p95 under ${most} ms`, met };
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}

export function p50p95(ms: readonly number[]): string {
  return `p50 ${quantile(ms, 0.5).toFixed(1)} ms, p95 ${quantile(ms, 0.95).toFixed(1)} ms`;
}

export function megabytes(bytes: number): string {
  return `${(bytes / 1e6).toFixed(0)} MB`;
}
