import type { Column, Table } from "./table.ts";

/**
 * `datapackage.json` of the tables: a Tabular Data Package as the Frictionless standard (version 1) defines it.
 * Version 1 because readers of version 2 read it too, and older readers know no other. The standard has no field
 * for units; `unit` is our addition, which it allows, and each description ends with the unit as well.
 */
export function dataPackage(tables: readonly Table[], title: string): object {
  const names = new Set(tables.map((t) => t.name));
  return {
    profile: "tabular-data-package",
    name: "blademark-study",
    title,
    description:
      "Stride quantities from marks on video frames, beside photocell times. SI units. Every _u95 is the half-width of a 95 % interval. " +
      "Blank cells: not measured; `refused` says why. Text that a spreadsheet would run as a formula has an apostrophe in front.",
    resources: tables.map((table) => ({
      profile: "tabular-data-resource",
      name: table.name,
      path: `${table.name}.csv`,
      title: table.title,
      format: "csv",
      mediatype: "text/csv",
      encoding: "utf-8",
      dialect: { delimiter: ",", lineTerminator: "\r\n", quoteChar: '"', doubleQuote: true, header: true },
      schema: {
        fields: table.columns.map(field),
        missingValues: [""],
        ...(table.key && { primaryKey: table.key }),
        ...(table.refersTo?.some((r) => names.has(r.table)) && {
          foreignKeys: table.refersTo
            .filter((r) => names.has(r.table))
            .map((r) => ({ fields: r.column, reference: { resource: r.table, fields: r.key } })),
        }),
      },
    })),
  };
}

function field({ name, type, what, unit, required, choices }: Column): object {
  const constraints = { ...(required && { required }), ...(choices && { enum: choices }) };
  return {
    name,
    type,
    description: unit ? `${what}, ${unit}` : what,
    ...(unit && { unit }),
    ...(type === "boolean" && { trueValues: ["yes"], falseValues: ["no"] }),
    ...(Object.keys(constraints).length > 0 && { constraints }),
  };
}
