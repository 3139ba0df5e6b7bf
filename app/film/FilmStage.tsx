import { useLayoutEffect, useRef } from "react";
import { DAMAGED, drawFilm, type FilmPicture } from "../../src/report/film/drawFilm.ts";
import { FILM } from "../../src/report/film/layout.ts";
import type { FilmFrame, FilmPlan } from "../../src/report/film/planFilm.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { useSize } from "../frame/useSize.ts";
import { type Frames, useFrames } from "../picture/useFrames.ts";
import type { Shell } from "../shell/Shell.ts";
import { isDoubtful } from "../store/clipFrames.ts";

interface Props {
  readonly plan: FilmPlan;
  readonly indexes: readonly ClipIndex[];
  /** What to show: real seconds after the moment. */
  readonly seconds: number;
  readonly shell: Shell;
  /** Whether every clip shows exactly its frame. */
  readonly onExact: (exact: boolean) => void;
}

/** The film at one instant, drawn by the code that draws the saved clip. */
export function FilmStage({ plan, indexes, seconds, shell, onExact }: Props) {
  const film = plan.showing(seconds);
  const one = useClip(indexes[0] ?? null, film.panels[0]?.frame ?? 0, shell, film.panels.length);
  const other = useClip(indexes[1] ?? null, film.panels[1]?.frame ?? 0, shell, film.panels.length);
  const frames = [one, other].slice(0, film.panels.length);
  const canvas = useRef<HTMLCanvasElement>(null);
  const box = useRef<HTMLDivElement>(null);
  const { width } = useSize(box);
  const exact = film.panels.every(({ frame }, c) => frames[c]?.shown?.frame === frame);

  const pictures = film.panels.map((panel, c) => pictureOf(frames[c], indexes[c], panel.frame));

  useLayoutEffect(() => {
    const pen = canvas.current?.getContext("2d");
    if (!pen || width === 0) return;
    const across = Math.round(width * Math.min(2, devicePixelRatio));
    const down = Math.round((across * FILM.height) / FILM.width);
    if (pen.canvas.width !== across || pen.canvas.height !== down) {
      pen.canvas.width = across;
      pen.canvas.height = down;
    }
    pen.setTransform(across / FILM.width, 0, 0, across / FILM.width, 0, 0);
    drawFilm(pen, film, pictures);
    for (const f of frames) f.drawn(f.shown?.bitmap ?? null);
  });
  useLayoutEffect(() => onExact(exact), [exact, onExact]);

  return (
    <div ref={box} className="film-stage">
      <canvas
        ref={canvas}
        role="img"
        aria-label={inWords(film, pictures)}
        data-testid="film"
        data-wanted={film.panels.map((p) => p.frame).join(" ")}
        data-shown={frames.map((f) => f.shown?.frame ?? "none").join(" ")}
      />
    </div>
  );
}

const NONE: readonly number[] = [];
const nobody = () => () => undefined;

function useClip(index: ClipIndex | null, frame: number, shell: Shell, clips: number): Frames {
  return useFrames({ index, frame, likely: NONE, frameUrl: shell.frameUrl, follow: nobody, sharers: clips });
}

function pictureOf(
  frames: Frames | undefined,
  index: ClipIndex | undefined,
  frame: number,
): FilmPicture<ImageBitmap> {
  const shown = frames?.shown ?? null;
  if (!shown) return { image: null, exact: false, note: frames?.failure ?? `frame ${frame} is on its way` };
  if (shown.frame === frame)
    return { image: shown.bitmap, exact: true, note: isDoubtful(index ?? null, frame) ? DAMAGED : null };
  return {
    image: shown.bitmap,
    exact: false,
    note: frames?.failure ?? `this is frame ${shown.frame}; frame ${frame} is on its way`,
  };
}

/** The same for people who do not see it. */
function inWords({ panels, foot }: FilmFrame, pictures: readonly FilmPicture<ImageBitmap>[]): string {
  const each = panels.map(({ title, technique, frame, edge, unscaled, rows, refused }, c) =>
    [
      `${title}, ${technique}: frame ${frame}`,
      ...[edge, unscaled, pictures[c]?.note, refused && `no numbers. ${refused}`].filter((s) => s),
      ...rows.map((r) => `${[r.name, r.of].filter((s) => s).join(", ")}: ${r.text}`),
    ].join("; "),
  );
  return `${each.join(". ")}. ${foot}`;
}
