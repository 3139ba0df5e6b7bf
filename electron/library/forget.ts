import { MeasureError } from "../../src/errors.ts";
import { withoutPerson } from "../../src/study/library.ts";
import { type ForgottenInStudy, forgetInStudy, mustBeClosed, wouldForget } from "./forgetInStudy.ts";
import { forgetWords } from "./forgetWords.ts";
import { changeLibrary, readLibrary } from "./libraryFile.ts";

/**
 * Forgets a skater in the library and in studies, or (`really` false) says what that would touch.
 *
 * @param who a code, or the name of one without a code
 * @returns a line for each place
 * @throws {MeasureError} `no-skater` where nobody is called so anywhere; `study-open`; see readStudy
 */
export async function forget(who: string, folders: readonly string[], really: boolean): Promise<string[]> {
  // Whatever is refused is refused before anything is touched.
  const would = await Promise.all(folders.map((folder) => wouldForget(folder, who)));
  const { gone } = withoutPerson(await readLibrary(), who);
  const found = would.filter((one) => one !== null);
  const without = folders.filter((_, k) => would[k] === null);
  if (found.length === 0 && gone.length === 0)
    throw new MeasureError(
      "no-skater",
      `forget: nobody is called ${who}`,
      `Nobody is called "${who}" in the library or in these studies. Codes stand in Plan; give the name of who has none.`,
    );
  if (!really) return forgetWords(who, gone, found, without);
  for (const { folder } of found) await mustBeClosed(folder);
  const done: ForgottenInStudy[] = [];
  for (const { folder } of found) {
    const one = await forgetInStudy(folder, who);
    if (one) done.push(one);
  }
  await changeLibrary((before) => withoutPerson(before, who).library);
  return forgetWords(who, gone, done, without);
}
