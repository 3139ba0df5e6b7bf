import { Button } from "@mantine/core";
import { useMemo } from "react";
import { trialLabel } from "../../../../src/study/labels.ts";
import { copyIceReference } from "../../../commands/ice/copyIceReference.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { cameraWords, likeScales } from "./likeScales.ts";
import { referenceWords } from "./referenceWords.ts";

/** The scale of another trial filmed by the same camera, if it did not move in between. */
export function CopyScale({ m }: { m: Measuring }) {
  const others = useMemo(() => likeScales(m.whole, m.trial, m.picture), [m.whole, m.trial, m.picture]);
  if (others.length === 0) return <p className="quiet">No other trial of this study has a scale yet.</p>;
  return (
    <div>
      <p className="quiet">
        Right only if the camera stood still and was not zoomed in between. Afterwards look whether every
        square sits on its place.
      </p>
      <ul className="copy-list">
        {others.map(({ trial: t, reference, sameSize, camera }) => {
          return (
            <li key={t.id}>
              <span>
                {trialLabel(m.whole.study, t.id)} <span className="quiet">({referenceWords(reference)})</span>
                <br />
                {!sameSize && <span className="care">picture of another size; </span>}
                <span className="quiet">
                  {camera ? cameraWords(camera) : "where its camera stood is not known"}
                </span>
              </span>
              <Button
                size="compact-sm"
                variant="light"
                disabled={!m.picture}
                onClick={() =>
                  m.picture &&
                  attempt(m.session, copyIceReference, { trial: m.trial.id, from: t.id, picture: m.picture })
                }
              >
                Copy
              </Button>
            </li>
          );
        })}
      </ul>
    </div>
  );
}
