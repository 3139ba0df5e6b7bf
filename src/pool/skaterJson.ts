import { shownError } from "../compare/typicalError.ts";
import { inOrder, type SkaterEvening, type SkaterQuantity } from "./skaterSeason.ts";

/** `skater --json`, exactly as in docs/contracts.md. */
export function skaterJson(
  code: string,
  evenings: readonly (SkaterEvening & { readonly nameless?: boolean })[],
  found: readonly SkaterQuantity[],
) {
  return {
    format: "blademark.skater",
    version: 1,
    code,
    studies: inOrder(evenings).map(({ name, date }) => ({ study: name, date })),
    quantities: found.map(({ typicalError, ...rest }) => ({
      ...rest,
      typical_error: shownError(typicalError),
    })),
    warnings: warningsOf(code, evenings),
  };
}

export type SkaterJson = ReturnType<typeof skaterJson>;

/** The code is all that is known of who somebody is; no name stands in what is said of it. */
function warningsOf(
  code: string,
  evenings: readonly (SkaterEvening & { readonly nameless?: boolean })[],
): { readonly code: "same-code"; readonly text: string }[] {
  const own = inOrder(evenings).flatMap((e) => {
    const skater = e.study.skaters.find((s) => (s.code || s.name) === code);
    return skater ? [{ evening: e.name, name: skater.name, nameless: e.nameless === true }] : [];
  });
  const names = [...new Set(own.flatMap((o) => (o.nameless || o.name === "" ? [] : [o.name])))];
  const shared = own.filter((o) => o.nameless).map((o) => o.evening);
  const warning = (text: string) => ({ code: "same-code" as const, text });
  return [
    ...(names.length > 1
      ? [
          warning(
            `${code} has different names on different evenings. They were taken for one skater; leave out the evenings of the other.`,
          ),
        ]
      : []),
    ...(shared.length > 0 && own.length > 1
      ? [
          warning(
            `Shared without names: ${shared.join(", ")}. That ${code} is the same skater there is taken from the code alone.`,
          ),
        ]
      : []),
  ];
}
