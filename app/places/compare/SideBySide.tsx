import { Button } from "@mantine/core";
import { useState } from "react";
import { filmableTrials, usualPair } from "../../../src/report/film/usualPair.ts";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";
import type { WholeStudy } from "../../../src/study/types.ts";
import { OpenFilm } from "../../film/OpenFilm.tsx";
import { showBeside } from "../../store/session.ts";
import type { PlaceProps } from "../shared/PlaceProps.ts";

/** Two clips beside each other; first one skater's with each technique. */
export function SideBySide({
  session,
  shell,
  whole,
  answer,
}: PlaceProps & { readonly whole: WholeStudy; readonly answer: StudyAnswer }) {
  const [shown, setShown] = useState(false);
  const pair = () =>
    usualPair(whole, answer.a.id, answer.b.id) ??
    filmableTrials(whole)
      .slice(0, 2)
      .map((t) => t.id);
  return (
    <>
      <Button onClick={() => setShown(true)}>Side by side</Button>
      <Button variant="default" onClick={() => showBeside(session, "season")}>
        With other evenings
      </Button>
      {shown && <OpenFilm session={session} shell={shell} trials={pair()} onClose={() => setShown(false)} />}
    </>
  );
}
