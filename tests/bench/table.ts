/** One line of the bench's table. `limit` is the bound the project sets itself. */
export interface Row {
  readonly clip: string;
  readonly what: string;
  readonly value: string;
  readonly limit?: string;
}

export function printTable(rows: readonly Row[]): void {
  const cells = [
    ["clip", "what", "measured", "bound"],
    ...rows.map((r) => [r.clip, r.what, r.value, r.limit ?? ""]),
  ];
  const widths = [0, 1, 2, 3].map((c) => Math.max(...cells.map((row) => row[c]!.length)));
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
