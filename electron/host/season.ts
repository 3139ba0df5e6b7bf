import { realpath } from "node:fs/promises";
import { resolve } from "node:path";
import { setImmediate as turn } from "node:timers/promises";
import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import { poolJson } from "../../src/pool/poolJson.ts";
import { poolRows } from "../../src/pool/poolStudies.ts";
import { skaterJson } from "../../src/pool/skaterJson.ts";
import { inOrder, nobody, skaterSeason } from "../../src/pool/skaterSeason.ts";
import { COMPARE_QUANTITIES, type CompareQuantity } from "../../src/quantities/compared.ts";
import type { SeasonNews, SeasonWish } from "../../src/study/exchange.ts";
import type { Study, Trial } from "../../src/study/types.ts";
import { forget } from "../library/forget.ts";
import { readEvening, type SeasonEvening, shortNames } from "../season/readEvening.ts";
import type { Vault } from "../vault/Vault.ts";
import { folderOf } from "./folderOf.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { reply } from "./replies.ts";
import type { Studies } from "./studies.ts";

const MANY = 200;
const names = z.array(z.string().max(400)).min(1).max(50);
const anyFolders = z.array(z.string().max(4096)).max(MANY);
const folders = anyFolders.min(1);
const wish = z.discriminatedUnion("do", [
  z.object({
    ...{ do: z.literal("pool"), folders, a: names, b: names, codes: z.boolean() },
    quantity: z.enum(COMPARE_QUANTITIES),
    looks: z.number().int().min(1).max(100),
  }),
  z.object({ do: z.literal("skater"), folders, code: z.string().min(1).max(400) }),
  z.object({
    do: z.literal("forget"),
    folders: anyFolders,
    code: z.string().min(1).max(400),
    really: z.boolean(),
  }),
]);

/** A person sees no more than ten a second. */
const TELL_EVERY_MS = 100;

/** Does something to the open study's folder while it is shut; windows that were open then have to be loaded anew. */
export type WhileShut = <T>(work: () => Promise<T>) => Promise<T>;

interface SeasonDoor {
  readonly vault: Vault;
  readonly bodies: BodyReaders;
  readonly studies: Studies | undefined;
  readonly whileShut: WhileShut;
}

/** Several evenings as one answer, and a skater through them: what `pool` and `skater` say, line by line how far it is. */
export function seasonRoutes({ vault, bodies, studies, whileShut }: SeasonDoor) {
  async function evenings(given: readonly string[], notices: string[]): Promise<SeasonEvening[]> {
    const all = [...new Set(given.map(folderOf))];
    const named = shortNames(all);
    const read: SeasonEvening[] = [];
    for (const [k, folder] of all.entries()) {
      const here = resolve(folder) === vault.folder ? vault.opened() : undefined;
      read.push(await readEvening(folder, named[k]!, (notice) => notices.push(notice), here));
    }
    return inOrder(read);
  }

  async function work(asked: SeasonWish, stopped: () => boolean, tell: (news: SeasonNews) => void) {
    const notices: string[] = [];
    if (asked.do === "forget") {
      const all = [...new Set(asked.folders.map(folderOf))];
      const here = await whereIs(vault.folder);
      let isHere = false;
      for (const folder of asked.really ? all : [])
        if ((await whereIs(folder)) === here) isHere = true;
        // Left earlier in this run, and still held open.
        else await studies?.end?.(folder);
      const doing = () => forget(asked.code, all, asked.really);
      const lines = await (isHere ? whileShut(doing) : doing());
      tell({ kind: "forgotten", lines, notices });
      return;
    }
    const read = await evenings(asked.folders, notices);
    const quantities = asked.do === "pool" ? [asked.quantity as CompareQuantity] : COMPARE_QUANTITIES;
    // Measured here, trial by trial: the window's frames must not wait for all of them.
    let [done, told] = [0, 0];
    const whose = asked.do === "skater" ? asked.code : null;
    const own = read.map((evening) => ({ ...evening, trials: trialsOf(evening.study, whose) }));
    const of = own.reduce((sum, { trials }) => sum + trials.length, 0);
    for (const { trials, ofTrial } of own)
      for (const trial of trials) {
        if (stopped()) return;
        for (const quantity of quantities) ofTrial(trial, quantity);
        done++;
        if (performance.now() - told > TELL_EVERY_MS) {
          told = performance.now();
          tell({ kind: "progress", done, of });
        }
        await turn();
      }
    if (asked.do === "skater") {
      const found = skaterSeason(read, asked.code);
      if (found.length === 0) throw nobody(asked.code);
      const text = JSON.stringify(skaterJson(asked.code, read, found), null, 2);
      tell({ kind: "skater", text, notices });
      return;
    }
    const { a, b, codes: byCode, looks } = asked;
    const quantity = asked.quantity as CompareQuantity;
    const rows = poolRows(read, { a, b, quantity, byCode });
    const pool = poolJson(read, { a: a[0]!, b: b[0]!, quantity, looks }, rows);
    tell({ kind: "pooled", text: JSON.stringify(pool, null, 2), notices });
  }

  return {
    /** Whoever stops listening stops it. */
    async ask(request: Request): Promise<Response> {
      const given = wish.safeParse(await bodies.json(request, 1_000_000));
      if (!given.success)
        throw new MeasureError(
          "bad-wish",
          given.error.message,
          "The window asked for something unknown of the season.",
        );
      const asked: SeasonWish = given.data;
      let gone = false;
      const line = new TextEncoder();
      const body = new ReadableStream<Uint8Array>({
        start(controller) {
          const tell = (news: SeasonNews) => {
            if (!gone) controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
          };
          void work(asked, () => gone, tell)
            .catch((error: unknown) => {
              if (!(error instanceof MeasureError)) console.error(error);
              const text =
                error instanceof MeasureError ? error.coach : `The evenings could not be read: ${error}`;
              tell({ kind: "failed", text });
            })
            .finally(() => {
              if (!gone) controller.close();
            });
        },
        cancel() {
          gone = true;
        },
      });
      return reply(body, 200, { "content-type": "application/x-ndjson" });
    },
  };
}

/** One folder is one study by whatever way it is reached. */
const whereIs = (folder: string) => realpath(folder).catch(() => folder);

/** All trials, or those of one skater by code (by name where she has none). */
function trialsOf({ skaters, trials }: Study, code: string | null): readonly Trial[] {
  if (code === null) return trials;
  const own = new Set(skaters.filter((s) => (s.code || s.name) === code).map((s) => s.id));
  return trials.filter((t) => own.has(t.skater));
}
