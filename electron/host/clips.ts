import { MeasureError } from "../../src/errors.ts";
import type { Preparation } from "../clip/preparation.ts";
import type { Vault } from "../vault/Vault.ts";
import { bodyOf } from "./jsonBody.ts";
import { json, nothing } from "./replies.ts";

/** @throws {MeasureError} `unknown-clip` */
export function fileOf(vault: Vault, clip: string): string {
  const file = vault.clipFile(clip);
  if (file) return file;
  throw new MeasureError("unknown-clip", `no clip ${clip} in the study`, `This study has no clip "${clip}".`);
}

/** Adding clips and getting their frames ready. */
export function clipRoutes(vault: Vault, preparation: Preparation) {
  return {
    async add(request: Request, url: URL) {
      const name = url.searchParams.get("name")?.trim();
      if (!name) {
        throw new MeasureError(
          "no-name",
          "POST /api/clips needs ?name=",
          "The clip came without a name. Add it again.",
        );
      }
      const link = await vault.addClip(name, bodyOf(request));
      const file = fileOf(vault, link.id);
      if (link.sha256) await preparation.rememberHash(file, link.sha256);
      await preparation.want(link.id, file);
      return json(link, 201);
    },
    async index(clip: string, url: URL) {
      const from = Number(url.searchParams.get("from") ?? 0);
      const valid = Number.isSafeInteger(from) && from >= 0;
      return json(await preparation.index(clip, fileOf(vault, clip), valid ? from : 0));
    },
    async prepare(clip: string) {
      await preparation.first(clip, fileOf(vault, clip));
      return nothing();
    },
    async stop(clip: string) {
      fileOf(vault, clip);
      await preparation.stop(clip);
      return nothing();
    },
  };
}
