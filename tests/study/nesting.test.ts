import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { checkStudy } from "../../electron/vault/checkStudy.ts";
import { Vault } from "../../electron/vault/Vault.ts";
import { MeasureError } from "../../src/errors.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { STUDY, studyFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";

/** JSON text of that many levels, lists or fields. */
const nested = (levels: number, kind: "lists" | "fields") =>
  kind === "lists"
    ? `${"[".repeat(levels)}${"]".repeat(levels)}`
    : `${'{"later":'.repeat(levels)}1${"}".repeat(levels)}`;
const withDeep = (json: object, levels: number, kind: "lists" | "fields", field = "later") =>
  JSON.stringify({ ...json, [field]: "here" }).replace('"here"', nested(levels, kind));

describe.each(["lists", "fields"] as const)("unknown %s in a study", (kind) => {
  it("are kept and saved, however deep they may be read", async () => {
    const folder = studyFolder();
    const text = withDeep(STUDY, 60, kind);
    writeFileSync(join(folder, "study.json"), text);
    const vault = await Vault.open(folder);
    await vault.saveStudy({ ...STUDY, question: "saved" });
    await vault.close();
    expect(JSON.parse(readFileSync(join(folder, "study.json"), "utf8"))).toEqual({
      ...JSON.parse(text),
      question: "saved",
    });
  });

  it.each([65, 5000, 100_000])(
    "%d levels deep are refused with a sentence, by every door",
    async (levels) => {
      const text = withDeep(STUDY, levels, kind);
      for (const field of ["later", "format", "trials"])
        expect(() => parseStudy(JSON.parse(withDeep(STUDY, levels, kind, field)))).toThrow(MeasureError);
      const folder = studyFolder();
      const { get, host } = await testHost(folder);
      const send = (method: string, path: string, body: string) =>
        get(path, { method, body, headers: { "content-type": "application/json" } });
      const step = `{"from":0,"steps":[{"kind":"do","label":"","trial":null,"frame":0,"changes":[{"document":"study","forth":[{"path":["later"],"value":${nested(levels, kind)}}],"back":[]}]}]}`;
      for (const [method, path, body] of [
        ["PUT", "/api/study", text],
        ["PUT", "/api/marks/t1", text],
        ["POST", "/api/steps", step],
        ["PUT", "/api/position", nested(Math.min(levels, 300), kind)],
        ["POST", "/api/choose", nested(Math.min(levels, 300), kind)],
      ] as const) {
        const answer = await send(method, path, body);
        expect([path, answer.status]).toEqual([path, 400]);
        expect((await answer.json()).error, path).toMatch(/nested more than 64 levels deep/);
      }
      expect(host.vault.opened().study).toEqual(STUDY);

      writeFileSync(join(folder, "marks", "t1.json"), withDeep({ format: "blademark.marks" }, levels, kind));
      const notices = (await Vault.open(folder)).opened().notices.join(" ");
      expect(notices).toMatch(/marks\/t1\.json is damaged.*nested more than 64 levels deep/);
      writeFileSync(join(folder, "study.json"), text);
      await expect(Vault.open(folder)).rejects.toMatchObject({
        code: "damaged-study",
        coach: expect.stringMatching(/later.*nested more than 64 levels deep/),
      });
      const found = await checkStudy(folder, new Date(0), false);
      expect(found.find((f) => f.where === "study.json")?.text).toMatch(/nested more than 64 levels deep/);
    },
  );
});
