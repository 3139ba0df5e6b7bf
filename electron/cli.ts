import { main } from "./commandLine.ts";

// A reader that has seen enough (`| head`) closes the pipe; that is no failure.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code !== "EPIPE") throw error;
});

process.exitCode = await main(process.argv.slice(2), {
  out: (text) => void process.stdout.write(`${text}\n`),
  say: (text) => void process.stderr.write(`${text}\n`),
});
