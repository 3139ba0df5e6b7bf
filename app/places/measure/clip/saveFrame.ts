import { planFrame } from "../../../../src/report/still/planStill.ts";
import { frameCaption, stillLabel, stillSvg } from "../../../../src/report/still/stillSvg.ts";
import { trialLabel } from "../../../../src/study/labels.ts";
import { countedReadings } from "../../../../src/trials/countedReadings.ts";
import { say } from "../../../store/messages.ts";
import { trialReading } from "../../../store/readings.ts";
import { asData } from "../../shared/asData.ts";
import { asPng } from "../../shared/asPng.ts";
import { saveFile } from "../../shared/saveFile.ts";
import type { Measuring } from "../core/useMeasure.ts";

const NOT_THERE_YET = "This frame's picture is not there yet. Wait until it is shown, then save it again.";

/**
 * Saves the frame that is shown with its marks, the ice grid and what is measured in it. Nothing measured on a clip
 * that contradicts its trial's time is written into a picture that leaves the study.
 */
export async function saveFrame(m: Measuring, kind: "png" | "svg"): Promise<void> {
  const { frame } = m.session.getState();
  const { clip, id } = m.trial;
  if (!clip || !m.index || m.onScreen.current?.frame !== frame) return say(NOT_THERE_YET);
  const answer = await fetch(m.shell.frameUrl(clip, frame)).catch(() => null);
  if (!answer?.ok) return say(NOT_THERE_YET);
  const reading = countedReadings(m.whole, (trial) => trialReading(m.whole, trial))(id);
  const { width, height } = m.index;
  const plan = planFrame(m.whole, id, reading.ok ? reading.value : null, frame, { width, height });
  if (!plan) return;
  const who = trialLabel(m.whole.study, id);
  const picture = { href: await asData(await answer.blob()), at: plan.box };
  const svg = stillSvg(plan, picture, stillLabel(plan, who), frameCaption(plan, who)).text;
  const name = `${id}-frame-${frame}.${kind}`;
  if (kind === "svg") saveFile(name, svg, "image/svg+xml");
  else saveFile(name, await asPng(svg, plan.picture.width, plan.picture.height), "image/png");
}
