import { randomBytes } from "node:crypto";
import { rename, rm, writeFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { findFfmpeg } from "../clip/findFfmpeg.ts";
import { stillFrame } from "../clip/stillFrame.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs, wholeOption } from "./options.ts";

export const still: Command = {
  does: "exactly one frame of a clip as PNG",
  help: `blademark still CLIP --frame N --out F.png

Writes exactly frame N (the first is 0) as displayed: rotation applied, square pixels.`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      { frame: { type: "string" }, out: { type: "string" } },
      [1, 1],
    );
    if (values.frame === undefined) throw new UsageError("Which frame? Give --frame N (the first is 0).");
    if (values.out === undefined) throw new UsageError("Where to? Give --out FILE.png.");
    const n = wholeOption("--frame", values.frame, 0, 1e9);
    const out = resolve(values.out);
    if (!/\.png$/i.test(out)) throw new UsageError("--out needs a name that ends in .png.");
    await writeWhole(out, await stillFrame(await findFfmpeg(), resolve(positionals[0] as string), n));
    io.say(`Frame ${n} is in ${out}`);
    return 0;
  },
};

/** Half a picture is never left behind. */
async function writeWhole(path: string, content: Uint8Array): Promise<void> {
  const temporary = join(dirname(path), `.${randomBytes(6).toString("hex")}.tmp`);
  try {
    await writeFile(temporary, content);
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw new MeasureError(
      "not-written",
      `cannot write ${path}: ${(error as Error).message}`,
      `${path} cannot be written (${(error as NodeJS.ErrnoException).code}). Check that its folder is there and may be written.`,
    );
  }
}
