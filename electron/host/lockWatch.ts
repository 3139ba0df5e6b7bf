import type { Vault } from "../vault/Vault.ts";

const EVERY_MS = 1000;

const TAKEN =
  "This study has been taken over by another program or machine. It is open here for reading only; open it again to go on.";

/** Looks after the study's lock: lets it go when asked, and ends writing when it has been taken. */
export function watchLock(
  vault: Vault,
  handOver: (text: string) => Promise<void>,
  everyMs = EVERY_MS,
): { stop(): Promise<void> } {
  let looking: Promise<void> = Promise.resolve();
  let busy = false;
  const look = async () => {
    const standing = await vault.standing();
    if (standing !== "asked" && standing !== "taken") return;
    await handOver(TAKEN);
    await vault.stopWriting(TAKEN);
  };
  const timer = setInterval(() => {
    if (busy) return;
    busy = true;
    looking = look().finally(() => {
      busy = false;
    });
  }, everyMs);
  timer.unref();
  return {
    async stop() {
      clearInterval(timer);
      await looking;
    },
  };
}
