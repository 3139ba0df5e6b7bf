import { useEffect, useState } from "react";
import { EMPTY_LIBRARY, type Kept, type Library } from "../../../src/study/library.ts";
import { type Shell, ShellError } from "../../shell/Shell.ts";
import { say } from "../../store/messages.ts";

/** What the person keeps beside all studies, offered while typing; empty until it is there, or where it can't be read. */
export interface KeptThings {
  readonly library: Library;
  /** @returns whether it is kept; what went wrong is said */
  readonly keep: (more: Partial<Kept>) => Promise<boolean>;
}

export function useLibrary(shell: Shell): KeptThings {
  const [library, setLibrary] = useState<Library>(EMPTY_LIBRARY);
  useEffect(() => {
    shell.library().then(setLibrary, () => undefined);
  }, [shell]);
  const keep = async (more: Partial<Kept>) => {
    try {
      setLibrary(await shell.keep({ skaters: [], techniques: [], rinks: [], setups: [], ...more }));
      return true;
    } catch (error) {
      if (!(error instanceof ShellError)) throw error;
      say(error.message);
      return false;
    }
  };
  return { library, keep };
}

/** Who or what is kept under that name, whatever its capitals. */
export function keptAs<T extends { readonly name: string }>(all: readonly T[], name: string): T | undefined {
  const typed = name.trim().toLowerCase();
  return all.find((one) => one.name.trim().toLowerCase() === typed);
}
