import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import type { KnownStudy, StudyList } from "../../src/study/exchange.ts";
import { nextEvening } from "../../src/trials/nextEvening.ts";
import { createStudy } from "../vault/createStudy.ts";
import { readStudy } from "../vault/openStudy.ts";
import type { Vault } from "../vault/Vault.ts";
import { folderOf } from "./folderOf.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { json } from "./replies.ts";

/** What a door can do about other studies than the one it shows. */
export interface Studies {
  /** Folders opened last, newest first. */
  recent(): Promise<readonly string[]>;
  /** Opens a study. @returns the address of its window, for the window that asked and no other */
  open(folder: string): Promise<string>;
  /** The folder of the demo's working copy. */
  demo(): Promise<string>;
  /** Ends a study that was left and is still held open, so that something can be done to its folder; absent = none is held. */
  end?(folder: string): Promise<void>;
}

const wish = z.discriminatedUnion("do", [
  z.object({ do: z.literal("demo") }),
  z.object({ do: z.enum(["open", "new", "next"]), folder: z.string().max(4096) }),
]);

const place = z.object({ folder: z.string().max(4096) });

/** The start page: which studies there are, and going to one. Only a person with the key of this window asks. */
export function studiesRoutes(vault: Vault, bodies: BodyReaders, studies: Studies | undefined) {
  const can = (): Studies => {
    if (studies) return studies;
    throw new MeasureError(
      "one-study",
      "this door shows one study",
      "Other studies can't be opened from this window. Start Blademark with the other study's folder.",
    );
  };
  return {
    async list() {
      const found = (await Promise.all((await can().recent()).map(ifReadable))).filter(
        (known) => known !== null,
      );
      const list: StudyList = { here: vault.folder, recent: found };
      return json(list);
    },
    /** What stands in one folder, without opening it. */
    async look(request: Request) {
      const given = place.safeParse(await bodies.json(request, 16_384));
      if (!given.success)
        throw new MeasureError("bad-wish", given.error.message, "The window asked for something unknown.");
      return json(await lookAt(folderOf(given.data.folder)));
    },
    async go(request: Request) {
      const given = wish.safeParse(await bodies.json(request, 16_384));
      if (!given.success)
        throw new MeasureError("bad-wish", given.error.message, "The window asked for something unknown.");
      const asked = given.data;
      const folder = asked.do === "demo" ? await can().demo() : folderOf(asked.folder);
      const door = can();
      if (asked.do === "new") await createStudy(folder);
      if (asked.do === "next") await createStudy(folder, nextEvening(vault.study));
      return json({ address: await door.open(folder) });
    },
  };
}

/** @throws {MeasureError} see readStudy */
async function lookAt(folder: string): Promise<KnownStudy> {
  const { study } = (await readStudy(folder, new Date())).whole;
  const { question, skaters, trials } = study;
  const timed = trials.filter((t) => t.time !== null).length;
  return {
    ...{ folder, question, date: study.date ?? null, skaters: skaters.length, trials: trials.length },
    timed,
    techniques: study.techniques.map((t) => t.name || t.id),
    distance: study.lane.distance,
    people: skaters.map((s) => ({ code: s.code || s.name, name: s.name })),
  };
}

/** Null for a folder that can't be read now; it stays in the list for when it can. */
async function ifReadable(folder: string): Promise<KnownStudy | null> {
  try {
    return await lookAt(folder);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (error instanceof MeasureError || (code && !code.startsWith("ERR_"))) return null;
    throw error;
  }
}
