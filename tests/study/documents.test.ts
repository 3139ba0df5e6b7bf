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
    for (const trial of ["t1", "t2"]) {
      const marks = read(`version-1/marks.${trial}.json`);
      expect(parseMarks(marks)).toEqual(marks);
    }
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
