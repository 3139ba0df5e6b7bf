import { Button, FileButton, Loader, Progress } from "@mantine/core";
import { useEffect, useState } from "react";
import { useStore } from "zustand";
import { clipTimeText } from "../../../../src/time/clipTime.ts";
import { sameFile } from "../../../../src/trials/sameClip.ts";
import { warmDecoder } from "../../../picture/workerDecode.ts";
import { goToPlace } from "../../../store/session.ts";
import { addClipTo, cancelUpload, retryUpload, uploads, uploadTo } from "../../../store/uploads.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { PartChooser } from "./part/PartChooser.tsx";

/** In place of the frame: no clip yet, its index is on its way, or it cannot be read. Always says what comes next. */
export function NoPicture({ m }: { m: Measuring }) {
  useEffect(warmDecoder, []);
  const { trial, clip, index } = m;
  if (!trial.clip) return <NoClip m={m} />;
  if (clip.error) {
    return (
      <div className="no-picture" role="alert">
        <h2>The clip can't be shown</h2>
        <p>{clip.error}</p>
        <Button onClick={() => m.clips.watch(trial.clip as string)}>Try again</Button>
      </div>
    );
  }
  if (index?.state === "failed") {
    return (
      <div className="no-picture" role="alert">
        <h2>This clip can't be read</h2>
        <p>{index.failure}</p>
        <Button onClick={() => void m.clips.prepare(index.clip)}>Try again</Button>
      </div>
    );
  }
  if (index?.asksPart) return <ChoosePart m={m} clip={index.clip} />;
  return (
    <div className="no-picture" role="status">
      <Loader size="sm" />
      <p>
        {index?.state === "stopped"
          ? "Preparing was stopped before the first frame."
          : "Getting the first frame …"}
      </p>
      {index?.state === "stopped" && (
        <Button onClick={() => void m.clips.prepare(index.clip)}>Prepare the clip</Button>
      )}
    </div>
  );
}

/** A long film: which part of it shows this trial? */
function ChoosePart({ m, clip }: { m: Measuring; clip: string }) {
  const { index } = m;
  return (
    <section className="no-picture choose-part" aria-label="Choose the part of the film">
      <h2>
        {index?.lasts ? `This film lasts ${clipTimeText(Math.round(index.lasts))}. ` : ""}Which part of it
        shows the trial?
      </h2>
      <p>
        Press where the run begins, or drag over it, or type the times. Only that part is prepared. The same
        film can show several trials: choose the part of each; the file is not copied again.
      </p>
      <PartChooser
        key={m.trial.id}
        {...{ session: m.session, shell: m.shell, clips: m.clips, clip, readOnly: m.readOnly }}
        trial={m.trial.id}
        onKept={() => undefined}
      />
      <div className="row">
        <Button
          variant="default"
          size="compact-sm"
          disabled={m.readOnly}
          onClick={() => void m.clips.prepare(clip)}
        >
          Prepare all of it
        </Button>
        <span className="quiet">takes minutes, and gigabytes on the disk</span>
      </div>
    </section>
  );
}

/** A film of the study of which other trials have parts may show this one too. */
function FilmHere({ m }: { m: Measuring }) {
  const [clip, setClip] = useState<string | null>(null);
  const films = m.whole.study.clips.filter(
    (c, i, all) =>
      c.part &&
      m.whole.study.trials.some((t) => t.clip === c.id) &&
      all.findIndex((o) => o.part && sameFile(o, c)) === i,
  );
  useEffect(() => {
    if (clip !== null) m.clips.watch(clip);
  }, [m.clips, clip]);
  if (films.length === 0) return null;
  if (clip !== null)
    return (
      <PartChooser
        {...{ session: m.session, shell: m.shell, clips: m.clips, clip, readOnly: m.readOnly }}
        trial={m.trial.id}
        onKept={() => setClip(null)}
      />
    );
  return (
    <div className="row">
      {films.map((film) => (
        <Button key={film.id} variant="default" disabled={m.readOnly} onClick={() => setClip(film.id)}>
          Take another part of {film.name}
        </Button>
      ))}
    </div>
  );
}

function NoClip({ m }: { m: Measuring }) {
  const upload = useStore(uploads, (s) => uploadTo(m.trial.id, s.list));
  const marked = m.marks.events.length + m.marks.marks.length > 0;
  const add = (file: File | null | undefined) => {
    if (file) addClipTo(m.session, m.shell, file, m.trial.id);
  };

  return (
    <section
      className="no-picture"
      aria-label="Add the clip"
      onDragOver={(e) => e.preventDefault()}
      onDrop={(e) => {
        e.preventDefault();
        add(e.dataTransfer.files[0]);
      }}
    >
      <h2>{marked ? "This trial's clip is not linked" : "No clip for this trial yet"}</h2>
      {marked && (
        <p>It is marked, so its numbers stand. To look at the frames or mark more, link its clip again.</p>
      )}
      <p>
        Choose the video of this trial, or drop it here. It is copied into the study and stays on this
        machine. The Times place takes many clips at once.
      </p>
      {upload?.state === "failed" && (
        <p className="bad" role="alert">
          {upload.failure}
        </p>
      )}
      {!upload || upload.state === "failed" ? (
        <div className="row">
          {upload && <Button onClick={() => retryUpload(upload.id)}>Try again</Button>}
          <FileButton accept="video/*,.mts,.m2ts,.avi,.mkv,.mov,.mp4" onChange={add}>
            {(props) => (
              <Button {...props} disabled={m.readOnly}>
                Choose the clip
              </Button>
            )}
          </FileButton>
          <Button variant="default" onClick={() => goToPlace(m.session, "times")}>
            Go to Times
          </Button>
        </div>
      ) : (
        <div className="row" role="status">
          <Progress value={100 * upload.share} w={220} aria-label={`Copying ${upload.name}`} />
          <span className="number">
            {upload.state === "waiting" ? "Waiting" : `${Math.round(100 * upload.share)} %`}
          </span>
          <Button variant="default" onClick={() => cancelUpload(upload.id)}>
            Stop
          </Button>
        </div>
      )}
      <FilmHere key={m.trial.id} m={m} />
    </section>
  );
}
