import { MeasureError } from "../../src/errors.ts";
import { type Kept, kept, keptEdit, withEdit, withKept } from "../../src/study/library.ts";
import { changeLibrary, readLibrary } from "../library/libraryFile.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { json } from "./replies.ts";

/** What the person keeps beside all studies: skaters, techniques, rinks, camera set-ups. Studies take copies; none is changed by it. */
export function libraryRoutes(bodies: BodyReaders) {
  return {
    read: async () => json(await readLibrary()),
    async keep(request: Request) {
      const given = kept.safeParse(await bodies.json(request, 4_000_000));
      if (!given.success)
        throw new MeasureError(
          "bad-request",
          given.error.message,
          "The window wanted something kept that can't be.",
        );
      return json(await changeLibrary((before) => withKept(before, given.data as Kept)));
    },
    async edit(request: Request) {
      const given = keptEdit.safeParse(await bodies.json(request, 16_384));
      if (!given.success)
        throw new MeasureError(
          "bad-request",
          given.error.message,
          "The window wanted something changed that can't be.",
        );
      return json(await changeLibrary((before) => withEdit(before, given.data)));
    },
  };
}
