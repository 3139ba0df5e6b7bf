import { homedir } from "node:os";
import { join } from "node:path";

/** The person's own folder for what belongs to no study; `BLADEMARK_HOME` puts it elsewhere. */
export function ownFolder(): string {
  return process.env.BLADEMARK_HOME || join(homedir(), ".blademark");
}
