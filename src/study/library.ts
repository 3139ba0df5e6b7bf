import { z } from "zod";
import { MeasureError } from "../errors.ts";
import { cameraPlan, lane, skater, technique } from "./schema.ts";
import type { CameraPlan, Lane, Skater, Study, Technique } from "./types.ts";

export type KeptSkater = Omit<Skater, "id">;
export type KeptTechnique = Omit<Technique, "id">;

/** A lane as it was laid out in a rink, with where its marks lie and where the camera stood. */
export interface KeptRink {
  readonly name: string;
  readonly lane: Lane;
  readonly cameraPlan?: CameraPlan;
}

/** What a person keeps beside all studies. A study takes a copy of what it uses: nothing here changes one that is there. */
export interface Library {
  readonly format: "blademark.library";
  readonly version: 1;
  readonly skaters: readonly KeptSkater[];
  readonly techniques: readonly KeptTechnique[];
  readonly rinks: readonly KeptRink[];
}

export type Kept = Pick<Library, "skaters" | "techniques" | "rinks">;

export const EMPTY_LIBRARY: Library = {
  ...{ format: "blademark.library", version: 1 },
  ...{ skaters: [], techniques: [], rinks: [] },
};

const MANY = 2000;
export const kept = z.object({
  skaters: z.array(skater.omit({ id: true })).max(MANY),
  techniques: z.array(technique.omit({ id: true })).max(MANY),
  rinks: z
    .array(z.looseObject({ name: z.string().min(1).max(200), lane, cameraPlan: cameraPlan.optional() }))
    .max(MANY),
});
const library = z.looseObject({
  format: z.literal("blademark.library"),
  version: z.literal(1),
  ...kept.shape,
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
  };
}

function byName<T extends { readonly name: string }>(before: readonly T[], more: readonly T[]): T[] {
  const all = new Map([...before, ...more].map((one) => [one.name.trim(), one]));
  return [...all.values()].sort((a, b) => a.name.localeCompare(b.name, "en"));
}

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
