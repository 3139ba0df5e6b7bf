import { readFileSync } from "node:fs";
import type { CDPSession } from "playwright";

/** What the largest window of a browser holds in memory, bytes; 0 where the system does not say. */
export async function windowBytes(processes: CDPSession): Promise<number> {
  const { processInfo } = await processes.send("SystemInfo.getProcessInfo");
  return Math.max(...processInfo.filter((p) => p.type === "renderer").map((p) => residentBytes(p.id)));
}

function residentBytes(pid: number): number {
  try {
    const found = /^VmRSS:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"));
    return Number(found?.[1] ?? 0) * 1024;
  } catch {
    return 0;
  }
}
