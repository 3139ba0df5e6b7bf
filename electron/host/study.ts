import type { OpenedStudy } from "../../src/study/exchange.ts";
import type { Vault } from "../vault/Vault.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { json, nothing } from "./replies.ts";
import type { WindowAddresses, Windows } from "./windows.ts";

/** After how many steps of the journal the document in a request stands; null when the window does not say. */
function stepsIn(request: Request): number | null {
  const text = request.headers.get("x-blademark-step") ?? "";
  return /^\d{1,9}$/.test(text) ? Number(text) : null;
}

/** The study's documents and journal, written by the one window that may. */
export function studyRoutes(
  vault: Vault,
  windows: Windows,
  bodies: BodyReaders,
  addresses?: WindowAddresses,
) {
  return {
    open(request: Request) {
      const opened: OpenedStudy = { ...vault.opened(), run: windows.run };
      const other = windows.otherWriter(request);
      // Who can't write is offered nothing anywhere.
      const elsewhere = opened.readOnly ? [] : (addresses?.notices(new URL(request.url)) ?? []);
      if (!other) return json({ ...opened, notices: [...opened.notices, ...elsewhere] });
      const notice = "This study is open in another window, so it is open here for reading only.";
      return json({ ...opened, readOnly: true, owner: other, notices: [...opened.notices, notice] });
    },
    async saveStudy(request: Request) {
      windows.mustWrite(request);
      return json(await vault.saveStudy(await bodies.json(request), stepsIn(request)));
    },
    async saveMarks(request: Request, trial: string) {
      windows.mustWrite(request);
      return json(await vault.saveMarks(trial, await bodies.json(request), stepsIn(request)));
    },
    async addSteps(request: Request) {
      windows.mustWrite(request);
      return json(await vault.addSteps(await bodies.json(request)));
    },
    async savePosition(request: Request) {
      const position = await bodies.json(request, 4096);
      if (windows.ofThisRun(request) && !windows.otherWriter(request)) await vault.savePosition(position);
      return nothing();
    },
    /** A person chose between what this window holds and what another program wrote. */
    async choose(request: Request) {
      windows.mustWrite(request);
      const { document } = ((await bodies.json(request, 4096)) ?? {}) as { document?: unknown };
      if (typeof document === "string") vault.keepOurs(document);
      else await vault.reopen();
      return nothing();
    },
  };
}
