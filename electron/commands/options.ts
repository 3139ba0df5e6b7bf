import { parseArgs } from "node:util";
import { UsageError } from "./Command.ts";

interface Option {
  readonly type: "string" | "boolean";
  readonly multiple?: boolean;
}

/** What was given for each option; absent = not given. */
type Values<O extends Record<string, Option>> = {
  readonly [K in keyof O]?: O[K] extends { type: "boolean" }
    ? boolean
    : O[K] extends { multiple: true }
      ? string[]
      : string;
};

/** parseArgs with our exit status for its complaints. @throws {UsageError} */
export function readArgs<const O extends Record<string, Option>>(
  args: string[],
  options: O,
  positionals: readonly [number, number],
): { readonly values: Values<O>; readonly positionals: readonly string[] } {
  const [least, most] = positionals;
  try {
    const parsed = parseArgs({
      args: withNegatives(args, options),
      options,
      allowPositionals: true,
      strict: true,
    });
    const given = parsed.positionals.length;
    if (given > most) throw new UsageError(`That is one argument too many: ${parsed.positionals[most]}`);
    if (given < least) throw new UsageError("Something is missing after the command.");
    return { values: parsed.values as Values<O>, positionals: parsed.positionals };
  } catch (error) {
    if (error instanceof UsageError) throw error;
    // parseArgs adds advice of its own in a second sentence, about `--` and dashes.
    throw new UsageError((error as Error).message.split(". To specify")[0] as string);
  }
}

/** `--lens -0.08` as `--lens=-0.08`: parseArgs takes what begins with a dash for another option. */
function withNegatives(args: readonly string[], options: Record<string, Option>): string[] {
  const joined: string[] = [];
  for (const arg of args) {
    const before = joined[joined.length - 1];
    const wants = before?.startsWith("--") && options[before.slice(2)]?.type === "string";
    if (wants && /^-[.\d]/.test(arg)) joined[joined.length - 1] = `${before}=${arg}`;
    else joined.push(arg);
  }
  return joined;
}

/** A finite number in a range. @throws {UsageError} */
export function numberOption(name: string, text: string, least = -Infinity, most = Infinity): number {
  const value = text.trim() === "" ? Number.NaN : Number(text);
  if (Number.isFinite(value) && value >= least && value <= most) return value;
  const range =
    least === -Infinity && most === Infinity
      ? "a number"
      : most === Infinity
        ? `a number of at least ${least}`
        : `a number from ${least} to ${most}`;
  throw new UsageError(`${name} needs ${range}, not "${text}".`);
}

/** @throws {UsageError} */
export function wholeOption(name: string, text: string, least = 0, most = Number.MAX_SAFE_INTEGER): number {
  const value = numberOption(name, text, least, most);
  if (Number.isInteger(value)) return value;
  throw new UsageError(`${name} needs a whole number, not "${text}".`);
}
