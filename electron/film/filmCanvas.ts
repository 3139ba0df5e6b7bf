import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { MeasureError } from "../../src/errors.ts";
import { drawFilm } from "../../src/report/film/drawFilm.ts";
import { FILM_FONT } from "../../src/report/film/filmText.ts";
import { FILM } from "../../src/report/film/layout.ts";
import type { FilmFrame } from "../../src/report/film/planFilm.ts";

const requireHere = createRequire(import.meta.url);

/** Draws frames of a film without a window. */
export interface FilmCanvas {
  /** RGBA, row by row, with the frame of each clip. */
  draw(film: FilmFrame, stills: readonly FilmStill[]): Promise<Uint8Array>;
}

export interface FilmStill {
  /** null = the clip has no picture there. */
  readonly jpeg: Uint8Array | null;
  /** What has to be said about it. */
  readonly note: string | null;
}

/**
 * The drawing library carries a program of its own for each kind of machine, so it is loaded when it is needed.
 *
 * @throws {MeasureError} `no-canvas` where there is none for this machine
 */
export async function filmCanvas(): Promise<FilmCanvas> {
  const { createCanvas, GlobalFonts, Image } = await loaded();
  for (const weight of ["", "-Bold"])
    GlobalFonts.register(
      readFileSync(requireHere.resolve(`dejavu-fonts-ttf/ttf/DejaVuSansCondensed${weight}.ttf`)),
      FILM_FONT,
    );
  const canvas = createCanvas(FILM.width, FILM.height);
  const pen = canvas.getContext("2d");
  // In slow motion the same frame is shown again and again: the last picture of each clip is kept.
  const kept: { jpeg: Uint8Array; image: InstanceType<typeof Image> }[] = [];
  const decoded = async (jpeg: Uint8Array, c: number) => {
    const before = kept[c];
    if (before?.jpeg === jpeg) return before.image;
    const image = new Image();
    image.src = Buffer.from(jpeg.buffer, jpeg.byteOffset, jpeg.byteLength);
    await image.decode();
    kept[c] = { jpeg, image };
    return image;
  };
  return {
    async draw(film, stills) {
      const pictures = await Promise.all(
        stills.map(async ({ jpeg, note }, c) => ({
          image: jpeg && (await decoded(jpeg, c)),
          exact: jpeg !== null,
          note,
        })),
      );
      drawFilm(pen, film, pictures);
      // Memory of its own: the next frame may be drawn while this one is being taken.
      return canvas.data();
    },
  };
}

/** @throws {MeasureError} `no-canvas` where there is none for this machine */
export async function loaded() {
  try {
    return await import("@napi-rs/canvas");
  } catch (error) {
    throw new MeasureError(
      "no-canvas",
      `@napi-rs/canvas cannot be loaded: ${(error as Error).message}`,
      "The part that draws clips and pictures has no program for this kind of machine, or was not installed whole. Run npm ci again; the rest of Blademark works without it.",
    );
  }
}
