import { MeasureError } from "../../../src/errors.ts";
import type { Conditions } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** No rink is colder or warmer; catches degrees Fahrenheit. */
const AIR_C = [-30, 35] as const;

/** Says when the evening was and what it was like; an empty text takes away what was said. */
export const setEvening: Command<{
  date?: string;
  conditions?: { readonly [K in keyof Conditions]: Conditions[K] | undefined };
  what: string;
}> = {
  name: "setEvening",
  label: ({ what }) => `change ${what}`,
  run(whole, { date, conditions = {} }) {
    const { airC } = conditions;
    if (airC !== undefined && !(airC >= AIR_C[0] && airC <= AIR_C[1]))
      throw new MeasureError(
        "air-temperature",
        `setEvening needs ${AIR_C.join(" to ")} °C, got ${airC}`,
        `${airC} °C is not the air of a rink. Type degrees Celsius, like −4.`,
      );
    const said = Object.entries({ ...whole.study.conditions, ...conditions }).flatMap(([key, value]) => {
      const kept = typeof value === "string" ? value.trim() : value;
      return kept === undefined || kept === "" ? [] : [[key, kept] as const];
    });
    return withStudy(whole, {
      ...(date === undefined ? {} : { date }),
      ...(said.length > 0 || whole.study.conditions ? { conditions: Object.fromEntries(said) } : {}),
    });
  },
};
