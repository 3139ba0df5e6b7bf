import { type RefObject, useLayoutEffect, useRef } from "react";
import type { ShownFrame } from "./useFrames.ts";
import type { View } from "./view.ts";

/** Says which frame the canvas holds, and how it lies: to `onScreen`, and on the picture's own element. */
export function useTellShown(
  host: RefObject<HTMLDivElement | null>,
  frame: number,
  shown: ShownFrame | null,
  failure: string | null,
  view: View,
  onScreen: (frame: number | null, failed: boolean) => void,
): void {
  const tell = useRef(onScreen);
  tell.current = onScreen;
  useLayoutEffect(() => {
    const data = host.current?.dataset;
    if (!data) return;
    data.wantedFrame = String(frame);
    if (shown) data.shownFrame = String(shown.frame);
    else delete data.shownFrame;
    if (shown?.whole) data.wholeFrame = String(shown.frame);
    else delete data.wholeFrame;
    tell.current(shown?.frame ?? null, failure !== null);
  }, [host, shown, failure, frame]);
  useLayoutEffect(() => {
    if (host.current) host.current.dataset.view = `${view.scale} ${view.x} ${view.y}`;
  }, [host, view]);
}
