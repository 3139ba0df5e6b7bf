import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import type { ClipMotion } from "../../src/study/types.ts";

const motionDocument = z.object({
  format: z.literal("blademark.motion"),
  still: z.boolean().nullable(),
  noise_px: z.number().positive().nullable(),
  frames: z.array(
    z.object({
      frame: z.number().int().nonnegative(),
      map: z.array(z.number()).length(8).nullable(),
      u_px: z.number().nonnegative().nullable(),
      u_turn_px: z.number().nonnegative().nullable(),
    }),
  ),
  bumps: z.array(z.object({ frame: z.number().int(), dx_px: z.number(), dy_px: z.number() })),
});

/** What `motion CLIP --json` printed, as a trial keeps it. @throws {MeasureError} `bad-motion` */
export function readMotion(text: string): ClipMotion {
  let document: z.infer<typeof motionDocument>;
  try {
    document = motionDocument.parse(JSON.parse(text));
  } catch (error) {
    throw new MeasureError(
      "bad-motion",
      `not what motion --json prints: ${error instanceof Error ? error.message : error}`,
      "This is not what “blademark motion CLIP --json” of this version prints. Make it again from the clip.",
    );
  }
  const { still, noise_px, frames, bumps } = document;
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
  };
}
