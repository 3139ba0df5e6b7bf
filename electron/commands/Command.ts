/** One command of the command line. */
export interface Command {
  /** One line for the list of commands. */
  readonly does: string;
  /** What `--help` prints. */
  readonly help: string;
  /** @returns the exit status; throws UsageError (2) or MeasureError (1) */
  run(args: string[], io: Io): Promise<number>;
}

export interface Io {
  /** Standard output: results. */
  out(text: string): void;
  /** Standard error: messages for the person. */
  say(text: string): void;
}

/** The command line itself is wrong: exit status 2. */
export class UsageError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "UsageError";
  }
}
