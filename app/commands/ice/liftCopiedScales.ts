import { liftCopied } from "../../../src/trials/liftCopied.ts";
import type { Command } from "../Command.ts";

/** Turns scales that were copied from trial to trial in an older study into camera set-ups; see `liftCopied`. */
export const liftCopiedScales: Command<Record<string, never>> = {
  name: "liftCopiedScales",
  label: () => "make camera set-ups of copied scales",
  run: (whole) => liftCopied(whole),
};
