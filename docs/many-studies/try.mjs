// Tries the workflow: a made-up club of 40 evenings, killed half-way and resumed, against the same steps one after
// another. Needs a built repository (npm run build) and snakemake. Exit 1 where a byte differs, or where the engine takes a
// tenth or more of the processor's time on top of the bare commands: that holds on a busy machine too, a clock on the wall does not.
//   node docs/many-studies/try.mjs [STUDIES]
import { execFileSync, spawn } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { fileURLToPath } from "node:url";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "../..");
const CLI = join(ROOT, "dist/electron/cli.js");
const STUDIES = Number(process.argv[2] ?? 40);
const CORES = 2;
const folder = mkdtempSync(join(tmpdir(), "blademark-club-"));

/** @param {string} club @param {string[]} args */
const blademark = (club, ...args) =>
  execFileSync(process.execPath, [CLI, ...args], {
    cwd: club,
    maxBuffer: 1e9,
    stdio: ["ignore", "pipe", "ignore"],
  });

/** Evenings of the demo's question with times of their own and the marks of two trials. @param {string} club */
function makeClub(club) {
  const demo = join(ROOT, "sample-clips/demo-study");
  const whole = JSON.parse(readFileSync(join(demo, "study.json"), "utf8"));
  const marked = ["aino-open-1", "bea-close-1"];
  let seed = 20270114;
  const random = () => {
    seed = (1103515245 * seed + 12345) % 2 ** 31;
    return seed / 2 ** 31;
  };
  for (let n = 1; n <= STUDIES; n++) {
    const study = join(club, `evening-${String(n).padStart(2, "0")}`);
    mkdirSync(join(study, "marks"), { recursive: true });
    for (const trial of marked)
      cpSync(join(demo, "marks", `${trial}.json`), join(study, "marks", `${trial}.json`));
    const trials = whole.trials.map((/** @type {any} */ { clip: _, ...t }) => ({
      ...t,
      time: t.time === null ? null : Math.round((t.time + 0.1 * (random() - 0.5)) * 100) / 100,
    }));
    writeFileSync(join(study, "study.json"), JSON.stringify({ ...whole, clips: [], trials }));
  }
  return readdirSync(club).sort();
}

/** @param {string} club @param {string[]} studies */
function listed(club, studies) {
  const text = blademark(club, "list", ...studies, "--json");
  writeFileSync(join(club, "list.json"), text);
  return JSON.parse(String(text)).steps.filter((/** @type {any} */ s) => s.state === "to do");
}

/**
 * Runs a command and all that it starts, and says when the last of them has ended what processor time they took, seconds: also
 * those whose parent was killed, which this one adopts (PR_SET_CHILD_SUBREAPER).
 */
const COUNTED = `
import ctypes, os, resource, subprocess, sys
ctypes.CDLL(None).prctl(36, 1, 0, 0, 0)
first = subprocess.Popen(sys.argv[1:], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
print(first.pid, flush=True)
status = 0
while True:
    try:
        pid, how = os.wait()
    except ChildProcessError:
        break
    if pid == first.pid:
        status = os.waitstatus_to_exitcode(how)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(used.ru_utime + used.ru_stime, status, flush=True)
`;

/** @param {string} club @param {string[]} command @returns {Promise<{ pid: number, done: Promise<{ seconds: number, status: number }> }>} */
async function counted(club, command) {
  const child = spawn("python3", ["-c", COUNTED, ...command], {
    cwd: club,
    stdio: ["ignore", "pipe", "inherit"],
  });
  let text = "";
  child.stdout.setEncoding("utf8").on("data", (more) => {
    text += more;
  });
  const done = new Promise((resolve, reject) => {
    child.on("error", reject).on("close", () => {
      const [seconds, status] = (text.split("\n")[1] ?? "").split(" ").map(Number);
      resolve({ seconds, status });
    });
  });
  while (!text.includes("\n")) await wait(20);
  return { pid: Number.parseInt(text, 10), done: /** @type {any} */ (done) };
}

/** @param {string} club */
function snakemake(club) {
  const config = `blademark=${process.execPath} ${CLI}`;
  const args = ["--snakefile", join(ROOT, "docs/many-studies/Snakefile"), "--cores", String(CORES)];
  const how = ["--keep-going", "--rerun-incomplete", "--nolock", "--quiet", "--config", config];
  return counted(club, ["snakemake", ...args, ...how]);
}

/** Every answer and table, by path; pages of a report say when they were made. @param {string} club @param {string[]} studies */
function answers(club, studies) {
  /** @type {Map<string, string>} */
  const found = new Map();
  for (const study of studies)
    for (const name of readdirSync(join(club, study, "results"), { recursive: true, encoding: "utf8" }))
      if (/\.(json|csv)$/.test(name))
        found.set(`${study}/${name}`, readFileSync(join(club, study, "results", name), "utf8"));
  return found;
}

const TECHNIQUES = ["--a", "close recovery", "--b", "open recovery", "--codes", "--json"];

try {
  const [serial, spread] = [join(folder, "serial"), join(folder, "spread")];
  const studies = makeClub(serial);
  cpSync(serial, spread, { recursive: true });

  const steps = listed(serial, studies);
  const quoted = (/** @type {string} */ word) => `'${word.replaceAll("'", "'\\''")}'`;
  const lines = steps.map(
    (/** @type {any} */ { command }) =>
      `${[process.execPath, CLI, ...command].map(quoted).join(" ")} || exit`,
  );
  writeFileSync(join(serial, "all.sh"), lines.join("\n"));
  const one = await (await counted(serial, ["sh", "all.sh"])).done;
  rmSync(join(serial, "all.sh"));
  console.log(
    `${steps.length} steps of ${studies.length} studies, one after another: ${one.seconds.toFixed(1)} s of processor time, exit status ${one.status}`,
  );

  const ofSpread = listed(spread, studies).length;
  const first = await snakemake(spread);
  const seen = () =>
    studies.flatMap((s) => {
      try {
        return readdirSync(join(spread, s, "results"), { recursive: true, encoding: "utf8" }).filter((n) =>
          /\.[0-9a-f]{16}\.json$/.test(n),
        );
      } catch {
        return [];
      }
    }).length;
  let over = false;
  void first.done.then(() => {
    over = true;
  });
  while (seen() < ofSpread / 2 && !over) await wait(50);
  // The engine and what it started, at once and without warning.
  process.kill(-first.pid, "SIGKILL");
  const half = await first.done;
  console.log(`killed with ${seen()} of ${ofSpread} done: ${half.seconds.toFixed(1)} s`);
  const left = listed(spread, studies).length;
  const second = await snakemake(spread);
  const rest = await second.done;
  const { status } = rest;
  console.log(
    `resumed with ${left} to do: ${rest.seconds.toFixed(1)} s, exit status ${status}, ${listed(spread, studies).length} left`,
  );
  const overhead = (100 * (half.seconds + rest.seconds)) / one.seconds - 100;
  console.log(
    `processor time over that of the bare commands, killed jobs and both starts of the engine included: ${overhead.toFixed(1)} %`,
  );

  const [a, b] = [answers(serial, studies), answers(spread, studies)];
  const differ = [...new Set([...a.keys(), ...b.keys()])].filter((name) => a.get(name) !== b.get(name));
  const pooled = [serial, spread].map((club) => String(blademark(club, "pool", ...studies, ...TECHNIQUES)));
  const same = differ.length === 0 && pooled[0] === pooled[1];
  console.log(
    same
      ? `${a.size} answers and tables and the pooled result are the same to the byte`
      : `DIFFERENT: ${differ.slice(0, 5).join(", ") || "the pooled result"}`,
  );
  if (!same || status !== 0 || one.status !== 0 || !(overhead < 10)) process.exitCode = 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
