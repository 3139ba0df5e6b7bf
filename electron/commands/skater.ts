import { basename, dirname, resolve } from "node:path";
import { parseHTML } from "linkedom";
import { placesOf } from "../../src/compare/numbers.ts";
import { skaterJson } from "../../src/pool/skaterJson.ts";
import {
  nobody,
  type SkaterEvening,
  type SkaterQuantity,
  skaterSeason,
  trendWords,
} from "../../src/pool/skaterSeason.ts";
import { QUANTITY_WORDS } from "../../src/quantities/compared.ts";
import { reportHtml } from "../../src/report/page/reportPages.ts";
import { skaterSeasonPage } from "../../src/report/page/skaterSeasonPage.ts";
import { formatNumber, plusMinus, withUnit } from "../../src/uncertainty/format.ts";
import { realDisk } from "../disk/disk.ts";
import { readEvening } from "../season/readEvening.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";
import { checkOutFile } from "./outFile.ts";

const MANY = 1000;

export const skater: Command = {
  does: "one skater through several evenings: every quantity, what changed, and whether that can be told",
  help: `blademark skater CODE STUDY [STUDY ...] [--out F.html] [--json]

The skater of that code (or of that name, where she has no code) in every study that has her: means of each technique by evening,
left and right, typical error, the change through the season. Evenings are put in the order of their dates.

  --out   a page to print, as HTML; it shows the code and what the studies are called, no name
  --json  one JSON object and nothing else`,
  async run(args, io) {
    const { values, positionals } = readArgs(args, { out: { type: "string" }, json: { type: "boolean" } }, [
      2,
      MANY,
    ]);
    const [code = "", ...given] = positionals;
    const folders = given.map((p) => resolve(p));
    if (new Set(folders).size < folders.length) throw new UsageError("One study stands there twice.");
    if (values.out !== undefined && !/\.html?$/i.test(values.out))
      throw new UsageError("--out needs a name that ends in .html.");
    if (values.out !== undefined) await checkOutFile(resolve(values.out));
    const evenings: SkaterEvening[] = [];
    for (const folder of folders)
      evenings.push(await readEvening(folder, basename(folder), (text) => io.say(text)));
    const found = skaterSeason(evenings, code);
    if (found.length === 0) throw nobody(code);
    const json = skaterJson(code, evenings, found);
    for (const { text } of json.warnings) io.say(text);
    if (values.out !== undefined) {
      const { document } = parseHTML("<!doctype html><html><body></body></html>");
      const body = skaterSeasonPage(json, document).text;
      const out = resolve(values.out);
      await realDisk(dirname(out)).replace(out, reportHtml({ title: `${code} through the season`, body }));
      io.say(`The page is in ${values.out}`);
    }
    io.out(values.json ? JSON.stringify(json, null, 2) : found.map(inWords).join("\n"));
    return 0;
  },
};

function inWords(found: SkaterQuantity): string {
  const { quantity, technique, evenings } = found;
  const { name, unit } = QUANTITY_WORDS[quantity];
  const places = placesOf(
    evenings.map((e) => e.mean),
    unit,
    2,
  );
  const rows = evenings.map(
    (e) =>
      `  ${e.date ?? "no date"}  ${e.study}: ${e.u95 === null ? withUnit(formatNumber(e.mean, places), unit) : plusMinus(e.mean, e.u95, unit)} (${e.n})`,
  );
  return [`${name}, ${technique}: ${trendWords(found, (v, u95) => plusMinus(v, u95, unit))}`, ...rows].join(
    "\n",
  );
}
