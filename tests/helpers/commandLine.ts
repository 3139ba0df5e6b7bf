import { main } from "../../electron/commandLine.ts";

export interface Ran {
  readonly status: number;
  readonly out: string;
  readonly said: string;
}

/** Runs a command as the command line does, and keeps what it printed. */
export async function blademark(...args: string[]): Promise<Ran> {
  let out = "";
  let said = "";
  const status = await main(args, {
    out: (text) => {
      out += `${text}\n`;
    },
    say: (text) => {
      said += `${text}\n`;
    },
  });
  return { status, out, said };
}
