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
  return [...severalNames(who, [...library, ...studies.map((s) => s.skater)]), ...kept, ...lines, ...nobody];
}

/** Each study gives codes of its own, so one code may be several people. */
function severalNames(who: string, people: readonly { readonly name: string }[]): string[] {
  const names = [...new Set(people.map(({ name }) => name.trim()).filter((name) => name !== ""))];
  return names.length < 2
    ? []
    : [`Look closely: "${who}" stands for several names here (${names.join(", ")}). All of them go.`];
}

const called = (name: string, code: string) =>
  code && code !== name ? `${name || "no name"} (${code})` : name;
