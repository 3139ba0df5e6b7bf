import { MeasureError } from "../../src/errors.ts";
import type { NotAlike, TurnBetween } from "../../src/motion/compareClips.ts";
import { frameDoubt, writtenBend, writtenMap } from "../../src/motion/keptMotion.ts";
import { reachOf } from "../../src/motion/planeMap.ts";
import type { LearnedBend } from "../../src/study/types.ts";
import { type Ffmpeg, findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { stated } from "../clip/ffmpeg/stated.ts";
import { packetPlan } from "../clip/jobs/packetPlan.ts";
import { tenths } from "../film/filmTools.ts";
import { clipMotion, type MotionRequest, type PartMotion } from "../motion/clipMotion.ts";
import { compareFiles } from "../motion/compareFiles.ts";
import type { Command, Io } from "./Command.ts";
import { clipFile } from "./clipFile.ts";
import { likeJson, likeWords } from "./motionLike.ts";
import { readArgs } from "./options.ts";

export const motion: Command = {
  does: "the camera's own motion in a clip: did it stand still, was it knocked, does its stabilisation move the picture",
  help: `blademark motion CLIP [--json]
blademark motion CLIP --like OTHER [--json]

Follows what stands still in the picture (boards, lines, stands) through the whole clip and says of each frame where the
background of frame 0 is seen in it (where that shows too little, of the first frame with enough; those before it tell nothing).
Who skates or walks through the picture is not taken for the camera.

With --like: were both clips filmed from one place with one zoom, and how was the camera turned in between? Where the picture can't
tell (bare ice, blur, another place) it says so.

  --like OTHER  another clip, whose background is looked for in CLIP
  --json        one JSON object and nothing else: frames, bumps, the method's own noise; the turn between two clips
                (docs/contracts.md)`,
  async run(args, io) {
    const options = { json: { type: "boolean" }, like: { type: "string" } } as const;
    const { values, positionals } = readArgs(args, options, [1, 1]);
    const file = await clipFile(positionals[0] as string);
    if (values.like !== undefined) {
      const between = await compared(file, await clipFile(values.like), io);
      io.out(values.json ? JSON.stringify(likeJson(between)) : likeWords(between));
      return 0;
    }
    const found = await followed(file, io);
    for (const { text } of found.warnings) io.say(text);
    io.out(values.json ? JSON.stringify(motionJson(found)) : inWords(found));
    return 0;
  },
};

/** How a clip moves, saying how far it is. @throws {MeasureError} `cancelled`, and what is wrong with the file */
export function followed(
  file: string,
  io: Pick<Io, "say">,
  of: Pick<MotionRequest, "part" | "turn"> = {},
): Promise<PartMotion> {
  return stoppable(async (ffmpeg, signal) => {
    const { first = 0, last = Number.POSITIVE_INFINITY } = of.part ?? {};
    const all = await pictures(file, signal);
    const onProgress = progress(io, all && Math.max(1, Math.min(last, all - 1) - first + 1));
    return clipMotion(ffmpeg, { file, ...of, signal, onProgress });
  });
}

function compared(clip: string, like: string, io: Io): Promise<TurnBetween | NotAlike> {
  return stoppable(async (ffmpeg, signal) => {
    const [first, second] = [await pictures(like, signal), await pictures(clip, signal)];
    const say = progress(io, first === null || second === null ? null : first + second);
    return compareFiles(ffmpeg, {
      like: { file: like },
      clip: { file: clip },
      signal,
      onProgress: (which, done) => say(which === "like" ? done : (first ?? 0) + done),
    });
  });
}

function progress(io: Pick<Io, "say">, of: number | null): (done: number) => void {
  const say = tenths((text) => io.say(text));
  return (done) => {
    if (of !== null) say({ doing: "following", done, of, secondsLeft: null });
  };
}

/** Work that ends with the program's signals. */
async function stoppable<T>(work: (ffmpeg: Ffmpeg, signal: AbortSignal) => Promise<T>): Promise<T> {
  const ffmpeg = await findFfmpeg();
  const stop = new AbortController();
  const onSignal = () => stop.abort();
  process.once("SIGINT", onSignal).once("SIGTERM", onSignal);
  try {
    return await work(ffmpeg, stop.signal);
  } catch (error) {
    if (!stop.signal.aborted) throw error;
    throw new MeasureError("cancelled", "motion was stopped", "Stopped. Nothing was written.");
  } finally {
    process.off("SIGINT", onSignal).off("SIGTERM", onSignal);
  }
}

/** How many there will be, for the progress only; null where the packets do not tell. What is wrong with a file is told by its decode. */
async function pictures(file: string, signal: AbortSignal): Promise<number | null> {
  try {
    const known = { stated: await stated(file), interlaced: null };
    const { counts } = await packetPlan(await findFfmpeg(), file, known, signal);
    return counts.shown;
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    return null;
  }
}

const THOUSANDTH = 3;
const MILLIONTH = 6;

export function motionJson({
  still,
  noisePx,
  first,
  picture,
  frames,
  bumps,
  bend,
  warnings,
}: PartMotion): object {
  const reach = reachOf(picture);
  const doubts = frames.map((motion) => motion && frameDoubt(motion, reach));
  return {
    format: "blademark.motion",
    version: 1,
    width: picture.width,
    height: picture.height,
    still,
    noise_px: rounded(noisePx, THOUSANDTH),
    ...(still === false && bend && { bend: writtenBend(bend) }),
    frames: frames.map((motion, n) => ({
      frame: first + n,
      dx_px: rounded(motion?.dxPx, THOUSANDTH),
      dy_px: rounded(motion?.dyPx, THOUSANDTH),
      turn_deg: rounded(motion?.turnDeg, MILLIONTH),
      scale: rounded(motion?.scale, MILLIONTH),
      u_px: doubts[n]?.shiftPx ?? null,
      u_turn_px: doubts[n]?.turnPx ?? null,
      map: motion && writtenMap(motion),
    })),
    bumps: bumps.map(({ frame, dxPx, dyPx, turnDeg, scale }) => ({
      frame,
      dx_px: rounded(dxPx, THOUSANDTH),
      dy_px: rounded(dyPx, THOUSANDTH),
      turn_deg: rounded(turnDeg, MILLIONTH),
      scale: rounded(scale, MILLIONTH),
    })),
    warnings,
  };
}

/** Without a minus before 0. */
function rounded(value: number | null | undefined, digits: number): number | null {
  return value === null || value === undefined ? null : Number(value.toFixed(digits)) + 0;
}

function inWords({ still, noisePx, first, frames, bumps, bend }: PartMotion): string {
  const known = frames.flatMap((f) => (f ? [f] : []));
  const stands =
    still === null
      ? "Whether the camera stood still can't be told"
      : still
        ? "The camera stood still"
        : "The camera moved";
  const noise = noisePx === null ? "" : `, as far as can be seen (noise ${noisePx.toFixed(2)} px a frame)`;
  const most = (of: (m: (typeof known)[number]) => number) =>
    Math.max(0, ...known.map((m) => Math.abs(of(m))));
  return [
    `${stands}${noise}.`,
    `${known.length} of ${frames.length} frames tell.`,
    ...(known.length > 0
      ? [
          `Farthest from frame ${first + frames.findIndex((f) => f)}, at the picture's centre: ${most((m) => m.dxPx).toFixed(2)} px across, ${most((m) => m.dyPx).toFixed(2)} px down, turned ${most((m) => m.turnDeg).toFixed(3)}°, size changed ${(100 * most((m) => m.scale - 1)).toFixed(2)} %`,
        ]
      : []),
    ...(still === false && bend
      ? [
          `The lens bends the picture: what its corners show would be ${(100 * Math.abs(cornerOf(bend))).toFixed(1)} % ${cornerOf(bend) > 0 ? "farther from" : "nearer to"} the centre through one that does not.`,
        ]
      : []),
    ...bumps.map(
      (b) => `Knocked at frame ${b.frame}: ${b.dxPx.toFixed(2)} px across, ${b.dyPx.toFixed(2)} px down.`,
    ),
  ].join("\n");
}

/** By how much farther from the centre a corner would be seen without the lens, as a share. */
function cornerOf({ second, fourth }: LearnedBend): number {
  return 1 / (1 + second + fourth) - 1;
}
