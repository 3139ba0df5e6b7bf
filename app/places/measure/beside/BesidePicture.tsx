import { useEffect, useRef, useState } from "react";
import { useStore } from "zustand";
import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { sameMoment } from "../../../../src/trials/sameMoment.ts";
import { onlySilent } from "../../../shell/onlySilent.ts";
import { firstFrame, isReady, lastFrame, readyRanges, timeOf } from "../../../store/clipFrames.ts";
import { clipState } from "../../../store/clips.ts";
import type { Measuring } from "../core/useMeasure.ts";
import type { BesideClip } from "./besideClips.ts";
import { frameAlong, type SameFrames } from "./frameAlong.ts";
import "./beside.css";

/** Another clip of the same run, at the moment of the frame that is measured; only to look at. */
export function BesidePicture({ m, beside }: { m: Measuring; beside: BesideClip }) {
  const { clips, session, shell, whole } = m;
  const { clip, name, view } = beside;
  const { index, error } = useStore(clips.state, (all) => clipState(all, clip));
  const frame = useStore(session, (s) => s.frame);
  const [said, setSaid] = useState<SameFrames | null>(null);
  const tied = view === null ? null : sameMoment(whole, m.trial.id, frame, view);
  const wanted = wantedFrame(m, beside, index, { frame, tied, said });
  const isThere = index !== null && wanted !== null && isReady(readyRanges(index), wanted);
  useEffect(() => clips.watch(clip), [clips, clip]);
  useEffect(() => {
    if (wanted !== null && !isThere) clips.want(clip, wanted).catch(onlySilent);
  }, [clips, clip, wanted, isThere]);
  const shown = useDecoded(isThere ? shell.frameUrl(clip, wanted) : null);
  const time = wanted === null ? undefined : timeOf(index, wanted);
  return (
    <figure className="beside" aria-label={`${name}, beside`}>
      <div className="beside-frame">
        {shown ? (
          <img src={shown} alt={`${name}, frame ${wanted}`} data-frame={wanted} />
        ) : (
          <p className="quiet" role="status">
            {error ?? waitingWords(index)}
          </p>
        )}
      </div>
      <figcaption>
        <span>
          <strong>{name}</strong>
          {wanted !== null && <span className="number"> frame {wanted}</span>}
          {time !== undefined && <span className="number">, {time.toFixed(3)} s</span>}
        </span>
        {tied !== null ? (
          <span className="quiet">The same moment, by the events that both show.</span>
        ) : (
          index &&
          wanted !== null && (
            <label className="beside-moment">
              <span className="quiet">
                {said
                  ? "Runs along from the moment you chose."
                  : "Nothing ties its clock to this one: choose the same moment, then it runs along."}
              </span>
              <input
                type="range"
                aria-label={`Frame of ${name}`}
                min={firstFrame(index)}
                max={lastFrame(index)}
                value={wanted}
                onChange={(e) => setSaid({ own: frame, other: Number(e.currentTarget.value) })}
              />
            </label>
          )
        )}
      </figcaption>
    </figure>
  );
}

interface Moment {
  readonly frame: number;
  /** By events of both; null = nothing ties them. */
  readonly tied: number | null;
  readonly said: SameFrames | null;
}

/** Until somebody says otherwise both clips begin together. */
function wantedFrame(
  { index: own, trial }: Pick<Measuring, "trial" | "index">,
  { speedFactor }: BesideClip,
  index: ClipIndex | null,
  { frame, tied, said }: Moment,
): number | null {
  if (!index || !own) return null;
  if (tied !== null) return Math.max(firstFrame(index), Math.min(lastFrame(index), tied));
  const same = said ?? { own: firstFrame(own), other: firstFrame(index) };
  return frameAlong({ index: own, speedFactor: trial.speedFactor }, { index, speedFactor }, same, frame);
}

/** The picture at an address once it can be drawn; the one before it until then, and while frames go by as many as keep up. */
function useDecoded(url: string | null): string | null {
  const [shown, setShown] = useState<string | null>(null);
  const wanted = useRef<string | null>(null);
  const busy = useRef(false);
  useEffect(() => {
    wanted.current = url;
    const next = async () => {
      if (busy.current) return;
      busy.current = true;
      for (let at = wanted.current; at !== null; at = wanted.current) {
        const image = new Image();
        image.src = at;
        const is = at;
        await image.decode().then(
          () => setShown(is),
          () => undefined,
        );
        if (wanted.current === at) break;
      }
      busy.current = false;
    };
    void next();
  }, [url]);
  return shown;
}

function waitingWords(index: ClipIndex | null): string {
  if (!index) return "Opening this clip …";
  if (index.asksPart) return "It lasts more than a minute, and nobody has said which part matters.";
  const { done, of } = index.progress;
  return of > 0 ? `Getting this clip ready: ${Math.floor((100 * done) / of)} %` : "Getting this clip ready …";
}
