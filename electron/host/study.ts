import type { Vault } from "../vault/Vault.ts";
import { jsonBody } from "./jsonBody.ts";
import { json, nothing } from "./replies.ts";

/** The study's documents. */
export function studyRoutes(vault: Vault) {
  return {
    open: () => json(vault.opened()),
    saveStudy: async (request: Request) => json(await vault.saveStudy(await jsonBody(request))),
    saveMarks: async (request: Request, trial: string) =>
      json(await vault.saveMarks(trial, await jsonBody(request))),
    savePosition: async (request: Request) => {
      await vault.savePosition(await jsonBody(request, 4096));
      return nothing();
    },
  };
}
