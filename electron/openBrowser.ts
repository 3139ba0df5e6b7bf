import { spawn } from "node:child_process";

/** Opens an address in the system's browser. Where there is none nothing happens: the address has been printed. */
export function openBrowser(url: string): void {
  const [program, ...args] =
    process.platform === "darwin"
      ? ["open", url]
      : process.platform === "win32"
        ? ["cmd", "/c", "start", "", url]
        : ["xdg-open", url];
  const child = spawn(program as string, args, { stdio: "ignore", detached: true });
  child.on("error", () => undefined);
  child.unref();
}
