import { MeasureError } from "../src/errors.ts";
import { type Command, type Io, UsageError } from "./commands/Command.ts";
import { check } from "./commands/check.ts";
import { clip } from "./commands/clip.ts";
import { compare } from "./commands/compare.ts";
import { forget } from "./commands/forget.ts";
import { frames } from "./commands/frames.ts";
import { list } from "./commands/list.ts";
import { measure } from "./commands/measure.ts";
import { motion } from "./commands/motion.ts";
import { next } from "./commands/next.ts";
import { order } from "./commands/order.ts";
import { place } from "./commands/place.ts";
import { pool } from "./commands/pool.ts";
import { prepare } from "./commands/prepare.ts";
import { report } from "./commands/report.ts";
import { serve } from "./commands/serve.ts";
import { share } from "./commands/share.ts";
import { skater } from "./commands/skater.ts";
import { step } from "./commands/step.ts";
import { still } from "./commands/still.ts";
import { suggest } from "./commands/suggest.ts";
import { forTerminal } from "./forTerminal.ts";

const COMMANDS: Readonly<Record<string, Command>> = {
  measure,
  compare,
  order,
  forget,
  frames,
  still,
  motion,
  clip,
  place,
  serve,
  check,
  report,
  suggest,
  pool,
  skater,
  list,
  prepare,
  step,
  next,
  share,
};

const HELP = `blademark COMMAND ...

${Object.entries(COMMANDS)
  .map(([name, { does }]) => `  ${name.padEnd(9)}${does}`)
  .join("\n")}

blademark COMMAND --help says more. Exit status: 0 done, 1 the input cannot give what was asked, 2 the command line is wrong.`;

/** The command door. @returns the exit status */
export async function main(args: string[], to: Io): Promise<number> {
  const io = forTerminal(to);
  const [name, ...rest] = args;
  if (name === "--help" || name === "-h" || name === "help") {
    io.out(HELP);
    return 0;
  }
  const command = name !== undefined && Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  if (!command) {
    io.say(name === undefined ? HELP : `There is no command "${name}".\n\n${HELP}`);
    return 2;
  }
  if (rest.includes("--help") || rest.includes("-h")) {
    io.out(command.help);
    return 0;
  }
  try {
    return await command.run(rest, io);
  } catch (error) {
    if (error instanceof UsageError) {
      io.say(`${error.message}\n\n${command.help}`);
      return 2;
    }
    if (error instanceof MeasureError) {
      io.say(error.coach);
      return 1;
    }
    throw error;
  }
}
