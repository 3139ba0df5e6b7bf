import type { ChildProcess } from "node:child_process";

/** The address a host prints, with the key of this run; rejects with what it said when it ends before. */
export function printedAddress(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = "";
    const read = (text: Buffer) => {
      said += text;
      const found = /https?:\/\/\S+(?=\s)/.exec(said);
      if (found) resolve(found[0]);
    };
    child.stdout?.on("data", read);
    child.stderr?.on("data", read);
    child.on("close", (code) => reject(new Error(`the host ended with ${code}: ${said}`)));
  });
}
