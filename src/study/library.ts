import { z } from "zod";
import { MeasureError } from "../errors.ts";
import { icePlace, lens } from "./marksSchema.ts";
import { cameraPlan, lane, skater, technique } from "./schema.ts";
import type { CameraPlan, IcePlace, Lane, Lens, Skater, Study, Technique } from "./types.ts";

export type KeptSkater = Omit<Skater, "id">;
export type KeptTechnique = Omit<Technique, "id">;

/** A lane as it was laid out in a rink, with where its marks lie and where the camera stood. */
export interface KeptRink {
  readonly name: string;
  readonly lane: Lane;
  readonly cameraPlan?: CameraPlan;
  /** Places on its ice as somebody measured them, from this lane's start line and middle. */
  readonly markings?: readonly IcePlace[];
}

/** A camera with its lens, where a calibration told it, and where it usually stands. */
export interface KeptSetup {
  readonly name: string;
  readonly lens?: Lens;
  readonly cameraPlan?: CameraPlan;
}

/** What a person keeps beside all studies. A study takes a copy of what it uses: nothing here changes one that is there. */
export interface Library {
  readonly format: "blademark.library";
  readonly version: 1;
  readonly skaters: readonly KeptSkater[];
  readonly techniques: readonly KeptTechnique[];
  readonly rinks: readonly KeptRink[];
  readonly setups: readonly KeptSetup[];
}

export const KEPT_KINDS = ["skaters", "techniques", "rinks", "setups"] as const;
export type KeptKind = (typeof KEPT_KINDS)[number];
export type Kept = Pick<Library, KeptKind>;

/** One thing that is kept gets another name, or (null) is kept no longer. */
export interface KeptEdit {
  readonly kind: KeptKind;
  readonly name: string;
  readonly to: string | null;
}

export const EMPTY_LIBRARY: Library = {
  ...{ format: "blademark.library", version: 1 },
  ...{ skaters: [], techniques: [], rinks: [], setups: [] },
};

const MANY = 2000;
const name = z.string().min(1).max(200);
const setups = z
  .array(z.looseObject({ name, lens: lens.optional(), cameraPlan: cameraPlan.optional() }))
  .max(MANY);
export const kept = z.object({
  skaters: z.array(skater.omit({ id: true })).max(MANY),
  techniques: z.array(technique.omit({ id: true })).max(MANY),
  rinks: z
    .array(
      z.looseObject({
        name,
        lane,
        cameraPlan: cameraPlan.optional(),
        markings: z.array(icePlace).max(MANY).optional(),
      }),
    )
    .max(MANY),
  setups,
});
export const keptEdit = z.object({
  kind: z.enum(KEPT_KINDS),
  name: z.string().max(400),
  to: z.string().max(400).nullable(),
});
const library = z.looseObject({
  format: z.literal("blademark.library"),
  version: z.literal(1),
  ...kept.shape,
  // Libraries of before have none.
  setups: setups.default([]),
});

/** @throws {MeasureError} `damaged-library` */
export function parseLibrary(json: unknown): Library {
  const read = library.safeParse(json);
  if (read.success) return read.data as Library;
  throw new MeasureError(
    "damaged-library",
    `parseLibrary: ${read.error.message}`,
    "The library of skaters and techniques (library.json in Blademark's own folder) can't be read, so it is left alone. Studies need nothing from it.",
  );
}

/** With what is kept of a study; what has the same name is as it is there from now on. */
export function withKept(before: Library, more: Kept): Library {
  return {
    ...before,
    skaters: byName(before.skaters, more.skaters),
    techniques: byName(before.techniques, more.techniques),
    rinks: byName(before.rinks, more.rinks),
    // Lens and place are kept in two places of the window.
    setups: byName(
      before.setups,
      more.setups.map((one) => ({ ...before.setups.find((s) => s.name.trim() === one.name.trim()), ...one })),
    ),
  };
}

/**
 * With one thing renamed or taken out. Studies have copies: none of them changes.
 *
 * @throws {MeasureError} `not-kept`, `no-name`, `name-taken`
 */
export function withEdit(before: Library, { kind, name, to }: KeptEdit): Library {
  const all: readonly { readonly name: string }[] = before[kind];
  if (!all.some((one) => one.name === name))
    throw new MeasureError(
      "not-kept",
      `library: no ${kind} ${name}`,
      `Nothing is kept as "${name}" any more.`,
    );
  if (to === null) return { ...before, [kind]: all.filter((one) => one.name !== name) };
  const typed = to.trim();
  if (typed === "")
    throw new MeasureError("no-name", "library: empty name", "What is kept needs a name. Type one.");
  if (all.some((one) => one.name !== name && one.name.trim().toLowerCase() === typed.toLowerCase()))
    throw new MeasureError(
      "name-taken",
      `library: ${kind} has ${typed}`,
      `"${typed}" is kept already. Type another name, or remove that one first.`,
    );
  return { ...before, [kind]: sorted(all.map((one) => (one.name === name ? { ...one, name: typed } : one))) };
}

function byName<T extends { readonly name: string }>(before: readonly T[], more: readonly T[]): T[] {
  const all = new Map([...before, ...more].map((one) => [one.name.trim(), one]));
  return sorted([...all.values()]);
}

const sorted = <T extends { readonly name: string }>(all: readonly T[]): T[] =>
  [...all].sort((a, b) => a.name.localeCompare(b.name, "en"));

/** What of a study can be kept; of who and what has no name nothing. */
export function keptOf({ skaters, techniques }: Study): Pick<Kept, "skaters" | "techniques"> {
  const named = <T extends { readonly name: string }>({ name }: T) => name.trim() !== "";
  return {
    skaters: skaters.filter(named).map(({ name, code, body }) => ({ name, code, body })),
    techniques: techniques.filter(named).map(({ name, asked }) => ({ name, asked })),
  };
}

/** Without who has that code, or that name. */
export function withoutPerson(
  before: Library,
  who: string,
): { library: Library; gone: readonly KeptSkater[] } {
  const is = (s: KeptSkater) => s.code === who || s.name === who;
  return {
    library: { ...before, skaters: before.skaters.filter((s) => !is(s)) },
    gone: before.skaters.filter(is),
  };
}
