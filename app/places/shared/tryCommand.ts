import { MeasureError } from "../../../src/errors.ts";
import type { Command } from "../../commands/Command.ts";
import { READ_ONLY } from "../../store/attempt.ts";
import { perform, type Session } from "../../store/session.ts";

/** Does one thing to the study. Null when it is done, else the sentence that says why not, to show at the field. */
export function tryCommand<Args>(session: Session, command: Command<Args>, args: Args): string | null {
  if (session.getState().readOnly) return READ_ONLY;
  return sentenceOf(() => perform(session, command, args));
}

/** Null when it worked, else the sentence for the coach. Other errors are bugs and stay loud. */
export function sentenceOf(act: () => void): string | null {
  try {
    act();
    return null;
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}
