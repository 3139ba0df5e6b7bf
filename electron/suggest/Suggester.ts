import { type ChildProcess, fork } from "node:child_process";
import { createHash } from "node:crypto";
import { constants, setPriority } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { MeasureError } from "../../src/errors.ts";
import { machineSeal, type Seal } from "../clip/store/seal.ts";
import type { Disk } from "../disk/disk.ts";
import { packageRoot } from "../packageRoot.ts";
import type { Remembered } from "./lookAt.ts";
import type { FromLooker, SuggestTask, ToLooker } from "./messages.ts";
import { MODELS } from "./poseModels.ts";

export interface SuggestOrder {
  /** Which clip, as it is prepared. */
  readonly clip: string;
  readonly task: SuggestTask;
  readonly jpeg: (frame: number) => Promise<Uint8Array>;
  readonly onProgress: (done: number, of: number) => void;
  readonly signal: AbortSignal;
}

/** After somebody was shown a frame, looking waits so long: whoever steps goes first. */
const GIVE_WAY_MS = 200;
/** Without work for so long, the process that looks is ended. */
const IDLE_MS = 120_000;
/** What is remembered of one clip is below 1 MB a thousand frames. */
const MOST_BYTES = 64e6;

/**
 * Has suggestions worked out by a process of its own at the lowest priority, one order at a time; a new one takes the place of
 * the last. What the models saw of a clip is kept in the study's cache, which may be deleted.
 */
export class Suggester {
  readonly #folder: string;
  readonly #disk: Disk;
  readonly #seal: Seal;
  #child: ChildProcess | null = null;
  /** The clip of which the process has everything. */
  #holds: string | null = null;
  #going: { readonly stop: AbortController; readonly ended: Promise<unknown> } | null = null;
  #giveWayUntil = 0;
  #idle: NodeJS.Timeout | undefined;

  constructor(cacheFolder: string, disk: Disk, seal: Seal = machineSeal()) {
    this.#folder = join(cacheFolder, "suggest");
    this.#disk = disk;
    this.#seal = seal;
  }

  /** Somebody is shown a frame now. */
  giveWay(): void {
    this.#giveWayUntil = performance.now() + GIVE_WAY_MS;
  }

  /**
   * @returns what `suggest --json` prints
   * @throws {MeasureError} `cancelled`, and whatever looking ends with
   */
  async suggest(order: SuggestOrder): Promise<string> {
    while (this.#going) {
      this.#going.stop.abort();
      await this.#going.ended;
    }
    if (order.signal.aborted) throw cancelled();
    const stop = new AbortController();
    const end = () => stop.abort();
    order.signal.addEventListener("abort", end);
    const answer = this.#run(order, stop.signal);
    const going = { stop, ended: answer.catch(() => undefined) };
    this.#going = going;
    clearTimeout(this.#idle);
    try {
      return await answer;
    } finally {
      order.signal.removeEventListener("abort", end);
      if (this.#going === going) this.#going = null;
      this.#idle = setTimeout(() => this.#end(), IDLE_MS);
      this.#idle.unref();
    }
  }

  async close(): Promise<void> {
    clearTimeout(this.#idle);
    this.#going?.stop.abort();
    await this.#going?.ended;
    clearTimeout(this.#idle);
    this.#end();
  }

  async #run(order: SuggestOrder, signal: AbortSignal): Promise<string> {
    const { clip, task } = order;
    const remembered = this.#holds === clip ? null : await this.#read(clip);
    const child = this.#started();
    this.#holds = clip;
    const send = (message: ToLooker) => {
      if (child.connected) child.send(message);
    };
    return new Promise<string>((resolve, reject) => {
      const done = () => {
        child.off("message", hear);
        child.off("exit", gone);
        signal.removeEventListener("abort", stop);
      };
      const stop = () => send({ kind: "stop" });
      const gone = () => {
        done();
        reject(
          new MeasureError(
            "looker-ended",
            "the process that looks at the clip ended",
            "Looking at the clip ended unexpectedly, so nothing is suggested. Ask again, or mark by hand.",
          ),
        );
      };
      const hear = (message: FromLooker) => {
        if (message.kind === "want") void this.#answer(order, message.frame, send);
        else if (message.kind === "progress") order.onProgress(message.done, message.of);
        else {
          done();
          if (message.kind === "failed") reject(failed(message));
          else {
            if (message.remembered) void this.#keep(clip, message.remembered);
            resolve(message.text);
          }
        }
      };
      child.on("message", hear);
      child.on("exit", gone);
      signal.addEventListener("abort", stop);
      send({ kind: "task", clip, task, remembered });
      if (signal.aborted) stop();
    });
  }

  async #answer({ jpeg }: SuggestOrder, frame: number, send: (message: ToLooker) => void): Promise<void> {
    for (;;) {
      const left = this.#giveWayUntil - performance.now();
      if (left <= 0) break;
      await wait(left);
    }
    try {
      send({ kind: "frame", frame, jpeg: await jpeg(frame) });
    } catch (error) {
      const why = error instanceof MeasureError ? error.coach : String(error);
      send({ kind: "no-frame", frame, why });
    }
  }

  #started(): ChildProcess {
    if (this.#child?.connected) return this.#child;
    const child = fork(join(packageRoot(), "dist", "electron", "suggestChild.js"), {
      serialization: "advanced",
      stdio: ["ignore", "ignore", "inherit", "ipc"],
    });
    child.on("error", (error) => console.error(error));
    child.once("exit", () => {
      if (this.#child === child) this.#end();
    });
    try {
      if (child.pid !== undefined) setPriority(child.pid, constants.priority.PRIORITY_LOW);
    } catch {
      // Where priorities are not ours to set it runs at the usual one.
    }
    this.#child = child;
    this.#holds = null;
    return child;
  }

  #end(): void {
    this.#child?.kill();
    this.#child = null;
    this.#holds = null;
  }

  #file(clip: string): string {
    const what = `${clip} ${MODELS.lightning.weights} ${MODELS.thunder.weights}`;
    const name = createHash("sha256").update(what).digest("hex").slice(0, 32);
    return join(this.#folder, `${this.#seal.id}-${name}.json`);
  }

  /** What came with a study from elsewhere, or was changed since, is looked at anew. */
  async #read(clip: string): Promise<Remembered | null> {
    try {
      const { sealed, seal } = JSON.parse(String(await this.#disk.read(this.#file(clip), MOST_BYTES)));
      return seal === this.#seal.of(sealed) ? JSON.parse(sealed) : null;
    } catch {
      return null;
    }
  }

  async #keep(clip: string, remembered: Remembered): Promise<void> {
    try {
      const sealed = JSON.stringify(remembered);
      await this.#disk.makeFolder(this.#folder);
      await this.#disk.replace(this.#file(clip), JSON.stringify({ sealed, seal: this.#seal.of(sealed) }));
    } catch {
      // A full or lost disk costs that the clip is looked at again.
    }
  }
}

function cancelled(): MeasureError {
  return new MeasureError("cancelled", "suggest was stopped", "Stopped. Nothing is suggested.");
}

function failed({ code, words, coach }: FromLooker & { kind: "failed" }): MeasureError {
  if (code === "bug") console.error(words);
  return new MeasureError(code, words, coach);
}
