import { type RefObject, useEffect, useMemo, useRef, useState } from "react";
import { fitView, type Size, type View, zoomAt } from "./view.ts";

export interface Zoom {
  readonly view: View;
  /** False while the whole picture is shown. */
  readonly zoomed: boolean;
  /** It follows the skater by itself. */
  readonly following: boolean;
  /** By hand: it stays so, and follows no more until it is told to. */
  setView(view: View | null): void;
  /** For this frame only. */
  glance(view: View): void;
  /** Zooms about the middle of the stage. */
  zoomBy(factor: number): void;
  /** The whole picture. */
  fit(): void;
  follow(): void;
}

export interface ZoomProps {
  readonly picture: Size;
  readonly stage: Size;
  /** The frame the canvas holds; null = none. */
  readonly shown: number | null;
  /** What the view holds is looked for anew when this changes, or the frame; not while one marks. */
  readonly aimed: string;
  /** Where the view is to be on that frame; null = not known. */
  followed(frame: number): View | null;
}

/** How the picture lies on the stage: with the skater, or as the hand laid it by wheel, drag and keys. */
export function useZoom(props: ZoomProps, host: RefObject<HTMLDivElement | null>): Zoom {
  const { picture, stage, shown, aimed, followed } = props;
  /** null = follows. */
  const [hand, setHand] = useState<{ readonly view: View | null } | null>(null);
  const [glanced, setGlanced] = useState<{ readonly frame: number | null; readonly view: View } | null>(null);
  const fit = useMemo(() => fitView(picture, stage), [picture, stage]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: a view laid by hand fits neither another clip nor another window
  useEffect(() => setHand((now) => now && { view: null }), [picture, stage]);

  const following = hand === null;
  // Marks are left out on purpose: a view that moves as a point is put moves under the hand.
  // biome-ignore lint/correctness/useExhaustiveDependencies: see above
  const alone = useMemo(
    () => (following && shown !== null ? followed(shown) : null),
    [following, shown, aimed, picture, stage],
  );
  const laid = glanced && glanced.frame === shown ? glanced.view : following ? alone : hand.view;
  const view = laid ?? fit;

  const latest = useRef(view);
  latest.current = view;
  const { zoomBy, zoomAbout, setView } = useMemo(() => {
    const setView = (next: View | null) => {
      setGlanced(null);
      setHand({ view: next });
    };
    const zoomAbout = (factor: number, x: number, y: number) => {
      const next = zoomAt(latest.current, factor, { x, y }, picture, stage);
      // The wheel turns faster than the window is drawn.
      latest.current = next.scale <= fit.scale ? fit : next;
      setView(next.scale <= fit.scale ? null : next);
    };
    return {
      setView,
      zoomAbout,
      zoomBy: (factor: number) => zoomAbout(factor, stage.width / 2, stage.height / 2),
    };
  }, [fit, picture, stage]);

  useEffect(() => {
    const element = host.current;
    if (!element) return;
    const onWheel = (e: WheelEvent) => {
      e.preventDefault();
      const box = element.getBoundingClientRect();
      const factor = Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0015));
      zoomAbout(factor, e.clientX - box.left, e.clientY - box.top);
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => element.removeEventListener("wheel", onWheel);
  }, [zoomAbout, host]);

  return {
    view,
    zoomed: laid !== null,
    following: following && alone !== null,
    setView,
    glance: (next) => setGlanced({ frame: shown, view: next }),
    zoomBy,
    fit: () => setView(null),
    follow() {
      setGlanced(null);
      setHand(null);
    },
  };
}
