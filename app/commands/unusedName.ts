import { MeasureError } from "../../src/errors.ts";

/**
 * A typed name without blanks around it.
 *
 * @throws {MeasureError} `no-name`, `name-taken`
 */
export function unusedName(
  what: "skater" | "technique",
  name: string,
  others: readonly { readonly name: string }[],
): string {
  const typed = name.trim();
  if (typed === "") {
    throw new MeasureError("no-name", `unusedName: empty ${what}`, `A ${what} needs a name. Type one.`);
  }
  if (others.some((other) => other.name.trim().toLowerCase() === typed.toLowerCase())) {
    throw new MeasureError(
      "name-taken",
      `unusedName: ${what} ${typed} exists`,
      `There is already a ${what} called ${typed}. Give this one another name.`,
      { name: typed },
    );
  }
  return typed;
}
