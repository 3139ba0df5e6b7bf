import { useEffect, useLayoutEffect, useMemo, useState } from "react";
import { flushSync } from "react-dom";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { readyRanges } from "../store/clipFrames.ts";
import { FrameSource, type Shown } from "./FrameSource.ts";
import { startDecoder } from "./workerDecode.ts";

export interface ShownFrame extends Shown<ImageBitmap> {
  readonly clip: string;
}

/**
 * Calls `go` with each frame wanted, the moment it is, and `expect` with each that somebody is about to go to (null =
 * none any more); returns how to stop.
 */
export type FollowFrame = (go: (frame: number) => void, expect: (frame: number | null) => void) => () => void;

export interface Frames {
  /** What can be shown now: the wanted frame or, until it is there, the nearest one; never another clip's. */
  readonly shown: ShownFrame | null;
  readonly failure: string | null;
  /** To be called with what the canvas holds. */
  drawn(bitmap: ImageBitmap | null): void;
}

/** Two keep a small machine busy; more would only take memory before the picture that is wanted comes. */
const PARALLEL = Math.max(2, Math.min(4, navigator.hardwareConcurrency));

export interface WantedFrames {
  readonly index: ClipIndex | null;
  readonly frame: number;
  /** Frames one is likely to go to next, likeliest first. */
  readonly likely: readonly number[];
  readonly frameUrl: (clip: string, frame: number) => string;
  /** Tells of another frame before the window is drawn for it. */
  readonly follow: FollowFrame;
  /** How many clips are shown at once. */
  readonly sharers: number;
}

/** Keeps decoded frames around `frame` and says which one can be shown. */
export function useFrames({ index, frame, likely, frameUrl, follow, sharers }: WantedFrames): Frames {
  const [seen, setSeen] = useState<{ shown: ShownFrame | null; failure: string | null }>({
    shown: null,
    failure: null,
  });

  const engine = useMemo(() => {
    const decoder = startDecoder();
    let clip: string | null = null;
    let before: ClipIndex | null = null;
    let content = 0;
    const look = () => {
      const now = source.show();
      const shown = now && clip !== null ? { clip, ...now } : null;
      const failure = source.failure();
      setSeen((before) =>
        before.shown?.bitmap === shown?.bitmap && before.failure === failure ? before : { shown, failure },
      );
    };
    // Drawn at once: left to React, a picture that has come waits for its turn among other work.
    const source = new FrameSource<ImageBitmap>(decoder.decode, () => flushSync(look), PARALLEL);
    return {
      source,
      look,
      setClip(
        next: ClipIndex | null,
        likely: readonly number[],
        url: (clip: string, frame: number) => string,
        sharers: number,
      ) {
        clip = next?.clip ?? null;
        if (before && next && !samePictures(before, next)) content += 1;
        before = next;
        source.setClip(
          next && {
            name: `${next.clip} ${content}`,
            width: next.width,
            height: next.height,
            ranges: readyRanges(next),
            likely,
            sharers,
            url: (n) => url(next.clip, n),
          },
        );
      },
      stop() {
        source.close();
        decoder.stop();
      },
    };
  }, []);

  useEffect(() => () => engine.stop(), [engine]);
  // The picture is on its way while the rest of the window is drawn for the new frame.
  useEffect(
    () =>
      follow(
        (next) => engine.source.want(next),
        (next) => engine.source.expect(next),
      ),
    [engine, follow],
  );
  useLayoutEffect(() => {
    engine.source.want(frame);
    engine.setClip(index, likely, frameUrl, sharers);
    engine.look();
  }, [engine, index, frame, likely, frameUrl, sharers]);

  const { source } = engine;
  return {
    shown: seen.shown && seen.shown.clip === index?.clip ? seen.shown : null,
    failure: seen.failure,
    drawn: useMemo(() => (bitmap: ImageBitmap | null) => source.drawn(bitmap), [source]),
  };
}

/**
 * Whether the clip's pictures are those of before: neither another file, nor frames numbered anew. Frames may be shown
 * while the file is still being read, before its content has a name.
 */
function samePictures(before: ClipIndex, now: ClipIndex): boolean {
  const known = before.link.sha256;
  return (
    before.clip === now.clip &&
    before.width === now.width &&
    before.height === now.height &&
    before.rotation === now.rotation &&
    (known === null || known === now.link.sha256) &&
    renumbered(before) === renumbered(now)
  );
}

const renumbered = (index: ClipIndex) => index.warnings.some((w) => w.code === "renumbered");
