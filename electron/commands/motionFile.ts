import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import { motionFault } from "../../src/motion/motionFault.ts";
import { isMotionTable, readMotionCsv } from "../../src/study/motionTable.ts";
import { tooDeep } from "../../src/study/nesting.ts";
import { pathText } from "../../src/study/parseDocument.ts";
import type { ClipMotion, Picture } from "../../src/study/types.ts";

const whole = z.number().int("must be a whole number");
const frame = whole.nonnegative("must not be negative");
const notNegative = z.number().nonnegative("must not be negative");
const motionDocument = z.object({
  format: z.literal("blademark.motion"),
  version: z.literal(1),
  width: whole.positive().optional(),
  height: whole.positive().optional(),
  still: z.boolean().nullable(),
  noise_px: z.number().positive("must be more than 0").nullable(),
  frames: z.array(
    z.object({
      frame,
      map: z.array(z.number()).length(8, "must be eight numbers").nullable(),
      u_px: notNegative.nullable(),
      u_turn_px: notNegative.nullable(),
    }),
  ),
  bumps: z.array(z.object({ frame, dx_px: z.number(), dy_px: z.number() })),
  bend: z.object({ second: z.number(), fourth: z.number(), drift: notNegative }).optional(),
});

/**
 * What `motion CLIP --json` printed, or `motion.csv`, as a trial keeps it.
 *
 * @param picture size of the picture that is measured
 * @param rows of a table: those that are meant
 * @throws {MeasureError} `bad-motion`, `bad-table`
 */
export function motionOf(text: string, picture: Picture, rows: (text: string) => string): ClipMotion {
  const found = isMotionTable(text) ? readMotionCsv(rows(text)) : readMotion(text, picture);
  const fault = motionFault(found, picture);
  if (fault !== null) throw bad(`This can't be how a clip moves: ${fault}.`);
  return found;
}

/** @throws {MeasureError} `bad-motion` */
export function readMotion(text: string, picture: Picture): ClipMotion {
  const { width, height, still, noise_px, frames, bumps, bend } = parsed(text);
  if (width !== undefined && height !== undefined && (width !== picture.width || height !== picture.height))
    throw bad(
      `This is how a picture of ${width} by ${height} px moves, and the marks are on one of ${picture.width} by ${picture.height} px.`,
    );
  frames.slice(1).forEach((entry, k) => {
    const before = frames[k]!.frame;
    if (entry.frame !== before + 1)
      throw bad(
        `In this motion of a clip frame ${entry.frame} comes after frame ${before}; every frame must be there, null where nothing is told.`,
      );
  });
  return {
    clip: "",
    still,
    noisePx: noise_px,
    first: frames[0]?.frame ?? 0,
    frames:
      still === false
        ? frames.map(({ map, u_px: shift, u_turn_px: turn }) =>
            map && shift !== null && turn !== null ? [...map, shift, turn] : null,
          )
        : [],
    bumps: bumps.map(({ frame, dx_px, dy_px }) => ({ frame, dxPx: dx_px, dyPx: dy_px })),
    ...(still === false && bend && { bend }),
  };
}

function parsed(text: string): z.infer<typeof motionDocument> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw unlike("it is not JSON, nor a table with a column m11");
  }
  if (tooDeep(json)) throw unlike("it is nested too deep");
  const result = motionDocument.safeParse(json);
  if (result.success) return result.data;
  const [{ path, message }] = result.error.issues as [z.core.$ZodIssue];
  throw unlike(`${pathText(path)}: ${message.replace(/^Invalid input: /, "")}`);
}

function unlike(reason: string): MeasureError {
  return bad(`This is not what “blademark motion CLIP --json” of this version prints (${reason}).`);
}

function bad(what: string): MeasureError {
  return new MeasureError("bad-motion", what, `${what} Make it again from the clip that was marked.`);
}
