import { ShellError } from "./Shell.ts";

/** What is wrong with the clip is said where its index is asked for. */
export function onlySilent(error: unknown): undefined {
  if (!(error instanceof ShellError)) throw error;
}
