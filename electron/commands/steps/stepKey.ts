import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { packageRoot } from "../../packageRoot.ts";

/**
 * What a step rests on, as one name: SHA-256 of its input as JSON with sorted keys, of the step's own name and of the
 * version of the program. Equal keys are equal answers; whatever an answer rests on must be in `input`.
 *
 * @returns 64 hexadecimal digits
 */
export function stepKey(step: string, input: unknown): string {
  return createHash("sha256")
    .update(sorted({ program: version(), step, input }))
    .digest("hex");
}

/** JSON that does not depend on the order in which a file holds its fields. */
function sorted(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
      : part,
  );
}

let known: string | null = null;

function version(): string {
  known ??= String(JSON.parse(readFileSync(join(packageRoot(), "package.json"), "utf8")).version);
  return known;
}
