import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { frameIndex } from "../clip/store/frameIndex.ts";
import type { Command } from "./Command.ts";
import { clipFile } from "./clipFile.ts";
import { readArgs } from "./options.ts";

export const frames: Command = {
  does: "exact frame index of a clip: count, times, displayed size, rotation, what was odd",
  help: `blademark frames CLIP [--json]

Decodes the clip once, from its start to its end, and says how many frames it has and when each is shown.
Times are the clip's own, in seconds, the first frame at 0. Sizes are of the picture as displayed.`,
  async run(args, io) {
    const { values, positionals } = readArgs(args, { json: { type: "boolean" } }, [1, 1]);
    const file = await clipFile(positionals[0] as string);
    const index = await frameIndex(await findFfmpeg(), file);
    for (const { text } of index.warnings) io.say(text);
    if (values.json) {
      const { count, width, height, rotation, mirrored, codec } = index;
      io.out(
        JSON.stringify({
          format: "blademark.frames",
          version: 1,
          count,
          width,
          height,
          rotation,
          mirrored,
          codec,
          times_s: index.times.map(microseconds),
          rate_median_hz: index.rateMedianHz === null ? null : Number(index.rateMedianHz.toFixed(6)),
          variable_rate: index.variableRate,
          warnings: index.warnings,
        }),
      );
      return 0;
    }
    const { count, times, rateMedianHz } = index;
    const rate = rateMedianHz === null ? "one frame only" : `${rateMedianHz.toFixed(3)} frames a second`;
    io.out(
      [
        `${count} frames (0 to ${count - 1}), the last at ${(times.at(-1) ?? 0).toFixed(6)} s`,
        `${index.width} x ${index.height} px as displayed${index.rotation ? `, turned ${index.rotation}° clockwise` : ""}${index.mirrored ? ", mirrored" : ""}, ${index.codec}`,
        `${rate}${index.variableRate ? " (median; frames are not evenly spaced)" : ""}`,
      ].join("\n"),
    );
    return 0;
  },
};

/** Integer times of every timebase in use are told apart by a microsecond; more digits would be the division's. */
function microseconds(seconds: number): number {
  return Number(seconds.toFixed(6));
}
