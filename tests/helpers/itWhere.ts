import { it } from "vitest";

/** On a Linux build (CI is set) every program is there, and nothing is left out for want of one. */
const ALL_HERE = Boolean(process.env.CI) && process.platform === "linux";

/**
 * A check that needs what not every machine has. Where that is missing it is left out with the reason in its name, which
 * `npm test` prints at its end; on a Linux build it runs all the same, and fails.
 *
 * @param missing what is not there, and where to get it
 */
export function itWhere(there: boolean, missing: string) {
  return (name: string, run: () => void | Promise<void>): void => {
    if (there) it(name, run);
    else if (ALL_HERE) it(`${name} (${missing})`, run);
    else it.skip(`${name} (LEFT OUT: ${missing})`, run);
  };
}

/**
 * Whether it is there, for a part of a check.
 *
 * @throws {Error} on a Linux build where it is not
 */
export function isHere(there: boolean, missing: string): boolean {
  if (!there && ALL_HERE) throw new Error(missing);
  return there;
}
