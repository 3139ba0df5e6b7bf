import { readFileSync } from "node:fs";
import type { CDPSession } from "playwright";

/** What the largest window of a browser holds in memory, bytes; 0 where the system does not say. */
export async function windowBytes(processes: CDPSession): Promise<number> {
  return Math.max(...(await windows(processes)).map(residentBytes));
}

/** Processor time that the busiest window's own thread has taken, ms; NaN where the system does not say. */
export async function windowWork(processes: CDPSession): Promise<number> {
  return Math.max(...(await windows(processes)).map(threadMs));
}

async function windows(processes: CDPSession): Promise<number[]> {
  const { processInfo } = await processes.send("SystemInfo.getProcessInfo");
  return processInfo.filter((p) => p.type === "renderer").map((p) => p.id);
}

/** proc(5): fields 14 and 15, in hundredths of a second. */
function threadMs(pid: number): number {
  try {
    const fields = readFileSync(`/proc/${pid}/task/${pid}/stat`, "utf8").split(") ")[1]?.split(" ") ?? [];
    return 10 * (Number(fields[11]) + Number(fields[12]));
  } catch {
    return Number.NaN;
  }
}

function residentBytes(pid: number): number {
  try {
    const found = /^VmRSS:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"));
    return Number(found?.[1] ?? 0) * 1024;
  } catch {
    return 0;
  }
}
