// Small helpers for the scripts that must work before anything is installed: plain JavaScript, Node only.
import { spawn, spawnSync } from "node:child_process";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";

/** The folder that holds package.json. */
export const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");

/** What a person should read goes to standard error, so that `--json` output stays clean. @param {string} text */
export function say(text) {
  process.stderr.write(`${text}\n`);
}

/** @param {string} text @returns {never} */
export function stop(text) {
  say(text);
  process.exit(1);
}

const onWindows = process.platform === "win32";

/**
 * Runs a program to its end with its output on standard error.
 * @param {string} program @param {string[]} args @param {{ quiet?: boolean, env?: Record<string, string> }} [options]
 * @returns {boolean} whether it ended well
 */
export function runToEnd(program, args, options = {}) {
  const ended = spawnSync(program, args, {
    cwd: root,
    stdio: options.quiet ? "ignore" : ["ignore", 2, 2],
    env: { ...process.env, ...options.env },
    shell: onWindows && program === "npm",
  });
  return ended.status === 0;
}

/**
 * Hands the terminal over to a program and ends as it ends.
 * @param {string} program @param {string[]} args @param {{ env?: Record<string, string> }} [options]
 */
export function becomeProgram(program, args, options = {}) {
  const child = spawn(program, args, { stdio: "inherit", env: { ...process.env, ...options.env } });
  for (const signal of /** @type {NodeJS.Signals[]} */ (["SIGINT", "SIGTERM", "SIGHUP"])) {
    process.on(signal, () => child.kill(signal));
  }
  child.on("error", (error) => stop(`${program} could not be started: ${error.message}`));
  child.on("exit", (code, signal) => process.exit(code ?? (signal ? 1 : 0)));
}

/** @param {string} program @param {string} [flag] */
export function isOnPath(program, flag = "--version") {
  return spawnSync(program, [flag], { stdio: "ignore", shell: onWindows }).status === 0;
}
