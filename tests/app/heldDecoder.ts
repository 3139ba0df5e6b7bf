import { type Early, FrameSource } from "../../app/picture/FrameSource.ts";

export interface FakeBitmap {
  readonly n: number;
  closed: boolean;
  close(): void;
}

/**
 * A decoder whose answers the test gives by hand. `lie` makes it answer with another frame's number; a `stubborn` one
 * finishes what it has begun though it is told to stop.
 */
export function source(ready: number, lie = 0, stubborn = false) {
  const waiting = new Map<number, () => void>();
  const early = new Map<number, Early<FakeBitmap>>();
  const made: FakeBitmap[] = [];
  const aborted: number[] = [];
  const make = (n: number): FakeBitmap => {
    const bitmap = {
      n,
      closed: false,
      close() {
        this.closed = true;
      },
    };
    made.push(bitmap);
    return bitmap;
  };
  let changes = 0;
  const frames = new FrameSource<FakeBitmap>(
    (url, signal, first) =>
      new Promise((resolve, reject) => {
        const n = Number(url.split("/").pop());
        if (first) early.set(n, first);
        signal.addEventListener("abort", () => {
          aborted.push(n);
          if (stubborn) return;
          waiting.delete(n);
          reject(new Error("aborted"));
        });
        waiting.set(n, () => {
          waiting.delete(n);
          resolve({ bitmap: make(n), frame: n + lie });
        });
      }),
    () => {
      changes += 1;
    },
  );
  const clip = (name: string, count = ready) => ({
    name,
    width: 1920,
    height: 1080,
    ranges: [[0, count]] as const,
    likely: [],
    url: (n: number) => `${name}/${n}`,
  });
  frames.setClip(clip("c1"));
  const settle = () => new Promise((done) => setTimeout(done, 0));
  /** Answers everything that is asked for until nothing is. */
  const answerAll = async () => {
    for (let i = 0; i < 200 && waiting.size > 0; i++) {
      for (const give of [...waiting.values()]) give();
      await settle();
    }
  };
  return { frames, waiting, early, made, make, aborted, clip, settle, answerAll, changes: () => changes };
}
