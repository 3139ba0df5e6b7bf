import { execFile } from "node:child_process";
import { totalmem } from "node:os";
import { dirname, isAbsolute } from "node:path";
import { promisify } from "node:util";

/**
 * What this system can hold a program in without asking for rights, besides what ffmpeg is told itself (which protocols and
 * containers it may open, how large a picture may be):
 *
 * - "bubblewrap" (Linux where bwrap is installed, as with Flatpak): no network, and no file but the clip, the program and
 *   the system's libraries;
 * - "no-network" (Linux where a user may make name spaces): no network; files as the user may read them;
 * - "none" (all others: Windows, macOS).
 *
 * Where there is a POSIX shell (Linux, macOS) its limits come on top: no file is written, no core dumped, and on Linux
 * memory is bounded.
 */
export type Cage = "bubblewrap" | "no-network" | "none";

export interface Started {
  readonly program: string;
  readonly args: readonly string[];
}

const run = promisify(execFile);

/** How long a start is waited for, ms: on a busy machine a program with two hundred libraries takes seconds. */
const START_MS = 20_000;

/**
 * The closest cage in which the program starts, found out by starting it with `args` in one after the other, and what it said
 * then; null where it does not start at all.
 */
export async function closestCage(
  program: string,
  args: readonly string[],
  platform = process.platform,
): Promise<{ readonly cage: Cage; readonly said: string } | null> {
  const cages = platform === "linux" ? (["bubblewrap", "no-network", "none"] as const) : (["none"] as const);
  for (const cage of cages) {
    const started = inCage(cage, program, args, null);
    const options = { timeout: START_MS, maxBuffer: 64 * 2 ** 20 };
    const said = await run(started.program, started.args, options).then(
      ({ stdout, stderr }) => `${stderr}\n${stdout}`,
      () => null,
    );
    if (said !== null) return { cage, said };
  }
  return null;
}

/** How `program args` is started so that it can read `file` and as little else as this system allows; it writes to pipes. */
export function confined(
  cage: Cage,
  program: string,
  args: readonly string[],
  file: string,
  platform = process.platform,
): Started {
  const caged = inCage(cage, program, args, file);
  if (platform === "win32") return caged;
  // The words are arguments of the shell, never part of what it reads. `exec` keeps the process's id.
  return {
    program: "/bin/sh",
    args: ["-c", `${limits(platform)}exec "$@"`, "sh", caged.program, ...caged.args],
  };
}

/** A limit the shell does not know, or that is lower already, is no reason not to start. */
function limits(platform: NodeJS.Platform): string {
  // Of writable memory, which is what decoding takes; addresses that are only reserved do not count.
  const kilobytes = Math.floor(Math.min(8 * 2 ** 30, 0.75 * totalmem()) / 1024);
  const all = ["-c 0", "-f 0", ...(platform === "linux" ? [`-d ${kilobytes}`] : [])];
  // ffmpeg would write its report where that says.
  return `unset FFREPORT; ${all.map((limit) => `ulimit ${limit} 2>/dev/null; `).join("")}`;
}

const SYSTEM = [
  "/usr",
  "/lib",
  "/lib32",
  "/lib64",
  "/bin",
  "/sbin",
  "/nix/store",
  "/etc/ld.so.cache",
  "/etc/alternatives",
];

function inCage(cage: Cage, program: string, args: readonly string[], file: string | null): Started {
  if (cage === "none") return { program, args };
  if (cage === "no-network") return { program: "unshare", args: ["--user", "--net", "--", program, ...args] };
  const seen = (path: string) => ["--ro-bind-try", path, path];
  return {
    program: "bwrap",
    args: [
      ...["--unshare-user-try", "--unshare-net", "--unshare-ipc", "--unshare-uts", "--die-with-parent"],
      ...["--dev", "/dev", "--proc", "/proc", ...SYSTEM.flatMap(seen)],
      // What lies beside a program of one's own are its libraries.
      ...(isAbsolute(program) && !program.startsWith("/usr/") ? seen(dirname(program)) : []),
      ...(file === null ? [] : ["--ro-bind", file, file]),
      ...["--chdir", "/", "--", program, ...args],
    ],
  };
}

/** What ffmpeg gets of this program's environment: not its own settings (FFREPORT would write a file), nor anyone's secrets. */
export function environment(): NodeJS.ProcessEnv {
  const wanted =
    /^(PATH|LD_LIBRARY_PATH|DYLD_(FALLBACK_)?LIBRARY_PATH|SystemRoot|SystemDrive|windir|TEMP|TMP|TMPDIR)$/i;
  const kept = Object.entries(process.env).filter(([name]) => wanted.test(name));
  return {
    ...Object.fromEntries(kept),
    // Messages in one language, whatever the person's.
    LC_ALL: "C",
    // Programs that carry their own C library crash on every transport stream when they load this system's modules for
    // converting texts, which no picture needs (seen with a static 7.0.2 on Debian 12). Elsewhere it means nothing.
    GCONV_PATH: "/nowhere",
  };
}
