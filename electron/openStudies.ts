import { realpath } from "node:fs/promises";
import { join } from "node:path";
import { demoStudy } from "./demoStudy.ts";
import { ownFolder } from "./disk/ownFolder.ts";
import type { Studies } from "./host/studies.ts";
import { recentStudies, rememberStudy } from "./recentStudies.ts";
import { type Server, startServer } from "./serve.ts";
import { StudyPorts } from "./studyPorts.ts";

const recentFile = () => join(ownFolder(), "recent-studies.json");

/** An address that nobody goes to is no way in for long. */
const NOT_USED = () => undefined;

/**
 * The studies of one run of the browser's door. Each has a port, a key and a lock of its own, as if it had been started
 * alone; a study that was left stays open until the program ends, so that going back in the browser works.
 */
export class OpenStudies implements Studies {
  readonly #windowDir: string;
  readonly #open = new Map<string, Promise<Server>>();

  constructor(windowDir: string) {
    this.#windowDir = windowDir;
  }

  /** @param port see ServeOptions */
  async server(study: string, port?: number): Promise<Server> {
    // One folder is one study by whatever way it is reached: two of our own servers would not see each other's lock.
    const place = await realpath(study).catch(() => study);
    const before = this.#open.get(place);
    if (before) return before;
    const starting = this.#start(study, port);
    this.#open.set(place, starting);
    try {
      const server = await starting;
      await rememberStudy(recentFile(), study);
      return server;
    } catch (error) {
      this.#open.delete(place);
      throw error;
    }
  }

  recent = () => recentStudies(recentFile());

  /** A pass, not the key: it opens one window. */
  open = async (study: string) => (await this.server(study)).pass(NOT_USED);

  demo = () => demoStudy();

  end = async (study: string) => {
    const place = await realpath(study).catch(() => study);
    const server = await this.#open.get(place);
    this.#open.delete(place);
    await server?.close();
  };

  async close(): Promise<void> {
    for (const server of await Promise.allSettled(this.#open.values()))
      if (server.status === "fulfilled") await server.value.close();
  }

  async #start(study: string, port: number | undefined): Promise<Server> {
    const ports = await StudyPorts.read(study);
    const options = { study, windowDir: this.#windowDir, ports, studies: this };
    return startServer(port === undefined ? options : { ...options, port });
  }
}
