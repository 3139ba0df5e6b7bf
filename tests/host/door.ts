import { mkdirSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import { startServer } from "../../electron/serve.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

export const SECRET = "the content of a file that is no study's";

export interface Door {
  /** The window's own, with its path. */
  readonly url: string;
  /** The printed one, with the key. */
  readonly keyed: string;
  readonly port: number;
  readonly cookie: string;
  readonly folder: string;
  /** Status line, headers and body of one request exactly as written, "/~/" for the window's own path. */
  raw(head: string, body?: string): Promise<string>;
}

/** A host over a study and a window of two files; a secret lies one folder up. Closed after the test. */
export async function door(study: object = STUDY): Promise<Door> {
  const outer = temporaryFolder();
  const windowDir = join(outer, "app");
  mkdirSync(join(windowDir, "assets"), { recursive: true });
  writeFileSync(join(windowDir, "index.html"), "<!doctype html>");
  writeFileSync(join(windowDir, "assets", "a.js"), "export {};");
  writeFileSync(join(outer, "secret.txt"), SECRET);
  const folder = studyFolder(study);
  const server = await startServer({ study: folder, windowDir });
  onTestFinished(() => server.close());
  const { base, cookie } = await firstVisit(server.url);
  const { port, pathname } = new URL(base);
  const raw = (head: string, body = "") =>
    new Promise<string>((resolve, reject) => {
      const socket = connect(Number(port), "127.0.0.1");
      let text = "";
      socket.on("data", (part) => {
        text += part;
      });
      socket.on("close", () => resolve(text));
      socket.on("error", (error: NodeJS.ErrnoException) =>
        error.code === "ECONNRESET" ? resolve(text) : reject(error),
      );
      socket.write(
        `${head.replaceAll("/~/", pathname).replaceAll("\n", "\r\n")}\r\nConnection: close\r\n\r\n${body}`,
      );
    });
  return { url: base, keyed: server.url, port: Number(port), cookie, folder, raw };
}
