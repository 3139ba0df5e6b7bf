import { join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { demoStudy, sampleStudy } from "../demoStudy.ts";
import { openBrowser } from "../openBrowser.ts";
import { OpenStudies } from "../openStudies.ts";
import { packageRoot } from "../packageRoot.ts";
import type { Server } from "../serve.ts";
import { createStudy } from "../vault/createStudy.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { readArgs, wholeOption } from "./options.ts";

export const serve: Command = {
  does: "the app in a browser on this machine",
  help: `blademark serve [STUDY] [--port N] [--open]
blademark serve --new FOLDER [--port N] [--open]

Opens a study folder (without STUDY: the demo study) and prints the address of its window.
Only this machine can reach it. Ctrl+C ends it.

  --port N       the port to use (usually one of the study's own: the same each time it is opened)
  --new FOLDER   make a new, empty study in FOLDER and open it
  --open         open the address in the system's browser`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      { port: { type: "string" }, new: { type: "string" }, open: { type: "boolean" } },
      [0, 1],
    );
    if (values.new !== undefined && positionals.length > 0)
      throw new UsageError("Give either a study to open or --new FOLDER, not both.");
    const port = values.port === undefined ? null : wholeOption("--port", values.port, 0, 65535);
    const study = await chosenStudy(positionals[0], values.new, io);
    const studies = new OpenStudies(join(packageRoot(), "dist", "app"));
    const server = await open(studies, study, port);
    io.say(`Study: ${study}`);
    io.say(`Blademark is open at ${server.url} (on this machine only). Press Ctrl+C to end it.`);
    const takeAway = values.open ? await openBrowser(server) : null;
    await untilAsked();
    await takeAway?.();
    await studies.close();
    return 0;
  },
};

async function chosenStudy(given: string | undefined, fresh: string | undefined, io: Io): Promise<string> {
  if (fresh !== undefined) {
    await createStudy(resolve(fresh));
    io.say("Made a new, empty study.");
    return resolve(fresh);
  }
  if (given !== undefined) {
    const copy = await sampleStudy(given);
    if (copy !== null) io.say("This is one of the sample studies (a working copy you may change).");
    return copy ?? resolve(given);
  }
  io.say("No study was named; this is the demo (a working copy you may change).");
  return demoStudy();
}

async function open(studies: OpenStudies, study: string, port: number | null): Promise<Server> {
  try {
    return await studies.server(study, port ?? undefined);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code !== "EADDRINUSE" && code !== "EACCES") throw error;
    throw new MeasureError(
      "port-taken",
      `port ${port}: ${code}`,
      `Port ${port} ${code === "EACCES" ? "may not be opened by you" : "is already in use"}. Give another one with --port, or leave --port out.`,
    );
  }
}

function untilAsked(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.once(signal, () => resolve());
  });
}
