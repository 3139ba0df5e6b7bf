import { z } from "zod";
import { trialMarks } from "./marksSchema.ts";
import { study } from "./schema.ts";

/** Where the published schemas say they come from; a name, not an address that is asked for. */
const NAMES = { "study.schema.json": study, "marks.schema.json": trialMarks } as const;

/**
 * The saved documents as JSON Schema (draft 2020-12), for other programs that read or write them. Fields they do not
 * name are allowed and kept. What a schema cannot say (ids that must exist, gates that increase) the program checks.
 */
export function documentSchemas(): Record<string, object> {
  const title = {
    "study.schema.json": "Blademark study",
    "marks.schema.json": "Blademark marks of one trial",
  };
  return Object.fromEntries(
    Object.entries(NAMES).map(([name, schema]) => {
      const { $schema, ...rest } = z.toJSONSchema(schema, { io: "input" });
      return [
        name,
        { $schema, $id: `urn:blademark:${name}`, title: title[name as keyof typeof title], ...rest },
      ];
    }),
  );
}
