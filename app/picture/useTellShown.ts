import { type RefObject, useLayoutEffect, useRef } from "react";
import type { ShownFrame } from "./useFrames.ts";
import type { View } from "./view.ts";

interface Told {
  readonly host: RefObject<HTMLDivElement | null>;
  /** The frame that is wanted. */
  readonly frame: number;
  readonly shown: ShownFrame | null;
  readonly failure: string | null;
  readonly view: View;
  readonly onScreen: (frame: number | null, failed: boolean) => void;
}

/** Says which frame the canvas holds, and how it lies: to `onScreen`, and on the picture's own element. */
export function useTellShown({ host, frame, shown, failure, view, onScreen }: Told): void {
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
