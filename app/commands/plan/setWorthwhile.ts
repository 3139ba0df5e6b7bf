import { MeasureError } from "../../../src/errors.ts";
import { readTime } from "../../../src/trials/readTime.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Says which difference in time is worth having, as typed in seconds; blank = 0.2 of the spread between skaters. */
export const setWorthwhile: Command<{ text: string }> = {
  name: "setWorthwhile",
  label: () => "change what is worth it",
  run(whole, { text }) {
    const seconds = readTime(text);
    if (seconds !== null && seconds > 5) {
      throw new MeasureError(
        "worthwhile-too-large",
        `setWorthwhile needs up to 5 s, got ${seconds}`,
        "The smallest difference worth having is a few hundredths of a second over a sprint. Type it like 0.04.",
      );
    }
    return withStudy(whole, { worthwhile: seconds });
  },
};
