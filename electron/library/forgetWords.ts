import type { KeptSkater } from "../../src/study/library.ts";
import type { ForgottenInStudy } from "./forgetInStudy.ts";

/** What forgetting touches, a line each; the same before and after. */
export function forgetWords(
  who: string,
  library: readonly KeptSkater[],
  studies: readonly ForgottenInStudy[],
  without: readonly string[],
): string[] {
  const kept = library.map(({ name, code }) => `The library: ${called(name, code)}, with the lengths kept.`);
  const lines = studies.flatMap(({ folder, skater, touched, stays }) => [
    `${folder}: ${called(skater.name, skater.code)}. Goes: ${touched.join("; ")}.`,
    ...(stays.length > 0 ? [`  Stays: ${stays.join("; ")}. Look for yourself.`] : []),
  ]);
  const nobody = without.map((folder) => `${folder}: nobody is called ${who}.`);
  return [...kept, ...lines, ...nobody];
}

const called = (name: string, code: string) =>
  code && code !== name ? `${name || "no name"} (${code})` : name;
