import { Button } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import { timeRows, writeTimesCsv } from "../../../src/study/tables.ts";
import { withClipTimes } from "../../../src/trials/clipTime.ts";
import { suspiciousTimes } from "../../../src/trials/suspiciousTimes.ts";
import { goToPlace } from "../../store/session.ts";
import { addClipTo } from "../../store/uploads.ts";
import type { PlaceProps } from "../shared/PlaceProps.ts";
import { AddTrial } from "./AddTrial.tsx";
import { ConfirmClips } from "./ConfirmClips.tsx";
import { FilesButton } from "./FilesButton.tsx";
import { isVideo, saveText } from "./files.ts";
import { ImportTimes, useImport } from "./ImportTimes.tsx";
import { TimesSheet } from "./TimesSheet.tsx";
import { Uploads } from "./Uploads.tsx";
import { useClipWatch } from "./useClipWatch.ts";
import "../shared/places.css";
import "./times.css";

const CLIPS = {
  words: "Add clips",
  label: "Clips to add",
  accept: "video/*,.mp4,.mov,.avi,.mkv,.mts,.m2ts,.webm",
  multiple: true,
};
const TABLE = { words: "Import times.csv", label: "Table of times", accept: ".csv,text/csv" };

/** The run order as a sheet: times, clips, and whether each trial shows what was asked. */
export function TimesPlace({ session, shell }: PlaceProps) {
  const whole = useStore(session, (s) => s.whole);
  const { study } = whole;
  const clips = useClipWatch(shell, study);
  const importing = useImport(session);
  const [dropped, setDropped] = useState<readonly File[]>([]);
  const doubts = useMemo(() => new Map(suspiciousTimes(study).map((d) => [d.trial, d.question])), [study]);
  const timed = withClipTimes(whole).study.trials.filter((t) => t.time !== null).length;
  const drop = (files: readonly File[], trial: string | null) => {
    const videos = files.filter(isVideo);
    const [table] = files.filter((f) => !isVideo(f));
    if (table) importing.readFile(table);
    if (trial !== null && videos.length === 1) addClipTo(session, shell, videos[0]!, trial);
    else if (videos.length > 0) setDropped(videos);
  };

  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping files is the mouse's way; the buttons do the same
    <div
      className="place"
      onDragOver={(e) => e.preventDefault()}
      onDrop={(e) => {
        e.preventDefault();
        drop([...e.dataTransfer.files], null);
      }}
    >
      <header className="place-head">
        <div>
          <h1>Times</h1>
          {study.trials.length > 0 && (
            <p className="quiet">
              {timed} of {study.trials.length} trials have their time. Type a time and press Enter for the
              next; paste a column; drop a clip on its row.
            </p>
          )}
        </div>
        <div className="place-actions">
          <FilesButton {...CLIPS} disabled={study.trials.length === 0} onFiles={setDropped} />
          <FilesButton {...TABLE} onFiles={([file]) => file && importing.readFile(file)} />
          <Button
            variant="default"
            disabled={study.trials.length === 0}
            onClick={() =>
              saveText("times.csv", writeTimesCsv(timeRows(withClipTimes(whole).study, "names")))
            }
          >
            Save times.csv
          </Button>
        </div>
      </header>
      <Uploads />
      {study.trials.length === 0 ? (
        <section className="card place-card">
          <p className="empty">
            There are no trials yet. Plan makes the run order from skaters and techniques, or import a
            times.csv with the columns skater, technique, repeat, order and time_s.
          </p>
          <Button mt="sm" onClick={() => goToPlace(session, "plan")}>
            Go to Plan
          </Button>
        </section>
      ) : (
        <section className="card times-card">
          <TimesSheet
            session={session}
            shell={shell}
            clips={clips}
            doubts={doubts}
            onDrop={drop}
            onTable={importing.readPasted}
          />
          <AddTrial session={session} study={study} />
        </section>
      )}
      <ImportTimes importing={importing} />
      <ConfirmClips session={session} shell={shell} files={dropped} onClose={() => setDropped([])} />
    </div>
  );
}
