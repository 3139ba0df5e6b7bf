import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { documentSchemas } from "../../src/study/documentSchemas.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";

const read = (...path: string[]) => JSON.parse(readFileSync(join(import.meta.dirname, ...path), "utf8"));

/**
 * One file of every version of the saved documents that was ever written, every optional field in use. A new version
 * adds its own and leaves these as they are.
 */
describe("files of older versions", () => {
  it("version 1 is read with every field it has, and with those of later versions", () => {
    const study = read("version-1/study.json");
    expect(parseStudy(study)).toEqual(study);
    for (const trial of ["t1", "t2", "t3"]) {
      const marks = read(`version-1/marks.${trial}.json`);
      expect(parseMarks(marks)).toEqual(marks);
    }
  });
});

interface Schema {
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly const?: unknown;
}

/** "trials[].note": every field a schema knows; of one kind of several "iceReference(known-lengths).lengths". */
function fieldsOf(schema: Schema, at = ""): string[] {
  const { properties, items, anyOf, oneOf } = schema;
  const kind = properties?.kind?.const === undefined ? "" : `(${properties.kind.const})`;
  return [
    ...Object.entries(properties ?? {}).flatMap(([name, field]) => {
      const path = `${at}${kind}.${name}`;
      return [path, ...fieldsOf(field, path)];
    }),
    ...(items ? fieldsOf(items, `${at}[]`) : []),
    ...[...(anyOf ?? []), ...(oneOf ?? [])].flatMap((one) => fieldsOf(one, at)),
  ];
}

/** The same of a document. */
function fieldsIn(value: unknown, at = ""): string[] {
  if (Array.isArray(value)) return value.flatMap((item) => fieldsIn(item, `${at}[]`));
  if (typeof value !== "object" || value === null) return [];
  const kind = "kind" in value ? `(${value.kind})` : "";
  return Object.entries(value).flatMap(([name, field]) => {
    const path = `${at}${kind}.${name}`;
    return [path, ...fieldsIn(field, path)];
  });
}

describe("the files of version 1", () => {
  const schemas = documentSchemas();
  it.each([
    ["study.schema.json", ["study.json"]],
    ["marks.schema.json", ["marks.t1.json", "marks.t2.json", "marks.t3.json"]],
  ] as const)("have every field that %s knows", (name, files) => {
    const known = fieldsOf(schemas[name] as Schema);
    expect(known.length).toBeGreaterThan(30);
    const had = new Set(files.flatMap((file) => fieldsIn(read("version-1", file))));
    expect(known.filter((field) => !had.has(field))).toEqual([]);
  });
});

describe("the published schemas", () => {
  it.each(Object.entries(documentSchemas()))(
    "%s is as the program checks (else run: npm run schema)",
    (name, schema) => {
      expect(read("../../schema", name)).toEqual(JSON.parse(JSON.stringify(schema)));
    },
  );

  it("allow fields they do not know, and name the version they describe", () => {
    for (const schema of Object.values(documentSchemas()) as {
      $schema: string;
      additionalProperties: unknown;
      properties: { version: { const: number } };
      required: string[];
    }[]) {
      expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
      expect(schema.additionalProperties).toEqual({});
      expect(schema.properties.version.const).toBe(1);
      expect(schema.required).toContain("format");
    }
  });
});
