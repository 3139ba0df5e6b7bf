import type { Io } from "./commands/Command.ts";

/** Moves a cursor, changes colours, turns the writing: everything of the kind but ends of lines and tabs. */
const OBEYED = /\r(?!\n)|[^\P{Cc}\r\n\t]|[\u202a-\u202e\u2066-\u2069]/gu;

/**
 * What a command prints, with names as files have them, spelled so that no terminal obeys it. JSON stays the same JSON: it
 * holds such characters only where they may be spelled like this.
 */
export function forTerminal({ out, say }: Io): Io {
  const spelled = (text: string) =>
    text.replace(OBEYED, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, "0")}`);
  return { out: (text) => out(spelled(text)), say: (text) => say(spelled(text)) };
}
