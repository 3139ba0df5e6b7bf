import { MeasureError } from "../../src/errors.ts";

const RESERVED = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;

/**
 * An id as the name of a file. Ids come from documents and requests, so anything that could lead elsewhere is refused.
 *
 * @throws {MeasureError} `bad-id`
 */
export function idAsFileName(id: string): string {
  if (/^[A-Za-z0-9][A-Za-z0-9_-]{0,79}$/.test(id) && !RESERVED.test(id)) return id;
  throw new MeasureError(
    "bad-id",
    `idAsFileName needs 1 to 80 letters, digits, - or _; got ${JSON.stringify(id)}`,
    `"${id}" cannot be used as an id: ids are letters, digits, "-" and "_" only.`,
    { id },
  );
}

/** Of a name, as UTF-8: most systems take 255, and a number may come between. */
const STEM_BYTES = 180;
const EXTENSION_BYTES = 40;

/** A name for a copied clip that every system takes, as near as possible to the one it had. */
export function safeClipName(name: string): string {
  const last = name.normalize("NFC").split(/[/\\]/).at(-1) ?? "";
  const cleaned = last
    .replace(/[\p{Cc}<>:"|?*]/gu, "-")
    .replace(/^[.\s-]+/, "")
    .replace(/[.\s]+$/, "");
  const dot = cleaned.lastIndexOf(".");
  const [stem, extension] = dot > 0 ? [cleaned.slice(0, dot), cleaned.slice(dot)] : [cleaned, ""];
  const short = firstLetters(stem, 60, STEM_BYTES).trimEnd();
  const safe = `${short || "clip"}${firstLetters(extension, 12, EXTENSION_BYTES)}`;
  return RESERVED.test(safe) ? `clip ${safe}` : safe;
}

function firstLetters(text: string, most: number, mostBytes: number): string {
  const letters = [...text].slice(0, most);
  while (Buffer.byteLength(letters.join("")) > mostBytes) letters.pop();
  return letters.join("");
}

/** `name`, or `name 2`, `name 3` … : the first that `taken` (compared without case) does not hold. */
export function uniqueName(name: string, taken: Iterable<string>): string {
  const used = new Set([...taken].map((n) => n.toLowerCase()));
  const dot = name.lastIndexOf(".");
  const [stem, extension] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, ""];
  let candidate = name;
  for (let n = 2; used.has(candidate.toLowerCase()); n++) candidate = `${stem} ${n}${extension}`;
  return candidate;
}
