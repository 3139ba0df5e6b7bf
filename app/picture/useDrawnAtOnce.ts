import type Konva from "konva";
import { type RefObject, useLayoutEffect } from "react";
import type { Frames, ShownFrame } from "./useFrames.ts";
import type { Size, View } from "./view.ts";

/** Draws the frame's layer as soon as there is something new to draw, and says which bitmap it holds then. */
export function useDrawnAtOnce(
  layer: RefObject<Konva.Layer | null>,
  shown: ShownFrame | null,
  drawn: Frames["drawn"],
  view: View,
  stage: Size,
): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: a moved or resized picture is drawn at once too
  useLayoutEffect(() => {
    // Drawn at once, so that what the attributes below say and what the canvas holds never differ; and only when
    // something is to be drawn: at a press the processor is needed for the picture that is wanted.
    layer.current?.draw();
    drawn(shown?.bitmap ?? null);
  }, [layer, shown, drawn, view, stage]);
}
