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

/** A name for a copied clip that every system takes, as near as possible to the one it had. */
export function safeClipName(name: string): string {
  const last = name.normalize("NFC").split(/[/\\]/).at(-1) ?? "";
  const cleaned = last
    .replace(/[\p{Cc}<>:"|?*]/gu, "-")
    .replace(/^[.\s-]+/, "")
    .replace(/[.\s]+$/, "");
  const dot = cleaned.lastIndexOf(".");
  const [stem, extension] = dot > 0 ? [cleaned.slice(0, dot), cleaned.slice(dot)] : [cleaned, ""];
  const short = [...stem].slice(0, 60).join("").trimEnd();
  const safe = `${short || "clip"}${[...extension].slice(0, 12).join("")}`;
  return RESERVED.test(safe) ? `clip ${safe}` : safe;
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
