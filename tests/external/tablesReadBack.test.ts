import { spawnSync } from "node:child_process";
import { csvParseRows } from "d3-dsv";
import { describe, expect } from "vitest";
import { itWhere } from "../helpers/itWhere.ts";
import { csv, descriptor, odd, writtenTables } from "./demoTables.ts";

/** Column → sum of its numbers and count of its filled cells, as the interpreter reads the table. */
type Sums = Record<string, { readonly n: number; readonly sum: number; readonly kind: string }>;

function ownSums(name: string): Sums {
  const [head, ...rows] = csvParseRows(csv(name));
  const fields = descriptor.resources.find((r) => r.name === name)!.schema.fields;
  return Object.fromEntries(
    head!.flatMap((column, k) => {
      if (!["number", "integer"].includes(fields[k]!.type)) return [];
      const cells = rows.map((row) => row[k]!).filter((c) => c !== "");
      return [[column, { n: cells.length, sum: cells.reduce((s, c) => s + Number(c), 0), kind: "number" }]];
    }),
  );
}

const PYTHON = `
import csv, json, sys, os
folder, name = sys.argv[1:]
package = json.load(open(os.path.join(folder, "datapackage.json"), encoding="utf-8"))
fields = next(r for r in package["resources"] if r["name"] == name)["schema"]["fields"]
rows = list(csv.DictReader(open(os.path.join(folder, name + ".csv"), encoding="utf-8", newline=""), strict=True))
out = {}
for f in fields:
    if f["type"] in ("number", "integer"):
        cast = int if f["type"] == "integer" else float
        cells = [cast(r[f["name"]]) for r in rows if r[f["name"]] != ""]
        out[f["name"]] = {"n": len(cells), "sum": sum(cells), "kind": "number"}
print(json.dumps({"sums": out, "units": {f["name"]: f["unit"] for f in fields if "unit" in f}, "notes": [r.get("note") for r in rows]}))
`;

const R = `
a <- commandArgs(trailingOnly = TRUE)
d <- read.csv(file.path(a[1], paste0(a[2], ".csv")), na.strings = "", check.names = FALSE, fileEncoding = "UTF-8")
for (n in names(d)) if (is.numeric(d[[n]])) {
  x <- d[[n]][!is.na(d[[n]])]
  cat(n, "\\t", length(x), "\\t", format(sum(x), digits = 17), "\\n", sep = "")
}
`;

const folder = writtenTables();

describe("read back by other programs", () => {
  const has = (program: string) => spawnSync(program, ["--version"]).status === 0;
  const python = ["/usr/bin/python3", "python3"].find(has);

  // Python's csv and json modules: PSF documentation, "strict=True raises on bad CSV input".
  itWhere(python !== undefined, "no python3 here")(
    "Python's csv module reads the same numbers, types and units",
    () => {
      for (const name of ["trials", "strides", "marks", "events", "ice_points", "comparisons"]) {
        const ran = spawnSync(python!, ["-c", PYTHON, folder, name], { encoding: "utf8" });
        expect(ran.stderr).toBe("");
        const said = JSON.parse(ran.stdout) as { sums: Sums; units: Record<string, string>; notes: string[] };
        agree(said.sums, ownSums(name));
        if (name === "trials") expect(said.notes[1]).toBe(`'${odd}`);
        if (name === "strides") expect(said.units.stride_width_m).toBe("m");
      }
    },
  );

  // R: `read.csv` gives a numeric column only where every filled cell is a number.
  itWhere(has("Rscript"), "no R here; Debian: apt-get install r-base-core")(
    "R's read.csv reads the same numbers",
    () => {
      for (const name of ["trials", "strides", "marks", "comparisons"]) {
        const ran = spawnSync("Rscript", ["-e", R, folder, name], { encoding: "utf8" });
        expect(ran.stderr).toBe("");
        const said = Object.fromEntries(
          ran.stdout
            .trim()
            .split("\n")
            .map((line) => line.split("\t"))
            .map(([column, n, sum]) => [column!, { n: Number(n), sum: Number(sum), kind: "number" }]),
        );
        const own = ownSums(name);
        // A column without a single value is no column of numbers to R.
        agree(said, Object.fromEntries(Object.entries(own).filter(([, v]) => v.n > 0)));
      }
    },
  );
});

function agree(said: Sums, own: Sums): void {
  expect(Object.keys(said)).toEqual(Object.keys(own));
  for (const [column, { n, sum }] of Object.entries(own)) {
    expect(said[column]!.n, column).toBe(n);
    expect(Math.abs(said[column]!.sum - sum), column).toBeLessThan(1e-9 * Math.max(1, Math.abs(sum)));
  }
}
