import { MeasureError } from "../../src/errors.ts";
import type { Command } from "../commands/Command.ts";
import { dismissAll, say } from "./messages.ts";
import { perform, type Session } from "./session.ts";

export const READ_ONLY = "This study is open for reading only, so nothing can be changed here.";

/** Does one thing to the study, or says in a sentence why it could not be done. True when it was done. */
export function attempt<Args>(session: Session, command: Command<Args>, args: Args): boolean {
  if (session.getState().readOnly) {
    say(READ_ONLY);
    return false;
  }
  try {
    perform(session, command, args);
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    say(error.coach);
    return false;
  }
  dismissAll();
  return true;
}
