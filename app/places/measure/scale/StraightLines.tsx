import { Button } from "@mantine/core";
import { useStore } from "zustand";
import { atFocal, zoomOf } from "../../../../src/ice/camera/learnedLens.ts";
import type { ScaleSummary } from "../../../../src/ice/types.ts";
import { linesTold } from "../../../../src/trials/lensOfLines.ts";
import { setupOf } from "../../../../src/trials/scaleReference.ts";
import { formatReading } from "../../../../src/uncertainty/format.ts";
import { K95 } from "../../../../src/uncertainty/uncertain.ts";
import { removeLine } from "../../../commands/ice/removeLine.ts";
import { attempt } from "../../../store/attempt.ts";
import { NO_TOOL, standing } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";

/** Lines that are straight in life, pressed on the picture: how they bend is how the lens bends. */
export function StraightLines({ m, summary }: { m: Measuring; summary: ScaleSummary | null }) {
  const tool = standing(
    useStore(m.ui, (s) => s.tool),
    m.marks,
  );
  const lines = m.marks.straightLines ?? [];
  const told = linesTold(m.whole, m.trial.id, setupOf(m.whole, m.trial.id))?.told ?? null;
  const pressing = tool.kind === "line";
  if (m.readOnly && lines.length === 0) return null;
  return (
    <div className="straight-lines">
      {!m.readOnly && (
        <div className="row">
          <Button
            size="compact-sm"
            variant="light"
            onClick={() => m.ui.setState({ tool: pressing ? NO_TOOL : { kind: "line", line: null } })}
          >
            {pressing ? "This line is done" : "Press a straight line"}
          </Button>
          {lines.length === 0 && (
            <span className="quiet">
              a painted line or the boards' edge, far from the middle: tells the lens where ice points can't
            </span>
          )}
        </div>
      )}
      {lines.length > 0 && (
        <ul className="copy-list">
          {lines.map(({ points, frame }, k) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a line is known by its number.
            <li key={k}>
              <span className="number">
                Line {k + 1}
                {frame === undefined ? "" : ` (frame ${frame})`}: {plural(points.length, "point")}
                {fitWords(told?.fits[k])}
              </span>
              {!m.readOnly && (
                <button
                  type="button"
                  className="plain-button"
                  aria-label={`Remove line ${k + 1}`}
                  onClick={() => attempt(m.session, removeLine, { trial: m.trial.id, line: k })}
                >
                  Remove
                </button>
              )}
            </li>
          ))}
        </ul>
      )}
      {told && <p className="quiet">{toldWords(told.lens, summary, m)}</p>}
    </div>
  );
}

type Told = NonNullable<ReturnType<typeof linesTold>>["told"];

function fitWords(fit: Told["fits"][number] | undefined): string {
  if (!fit) return "";
  const bent = `, bends ${fit.bentPx.toFixed(1)} px`;
  return fit.offPx === null ? bent : `${bent}, ${fit.offPx.toFixed(1)} px off once the lens is out`;
}

function toldWords(
  lens: Told["lens"],
  summary: ScaleSummary | null,
  m: Pick<Measuring, "whole" | "trial" | "marks">,
): string {
  if (!("k1" in lens)) return lens.why;
  const own = m.marks.straightLines?.length ?? 0;
  const lines = `${plural(lens.lines, "straight line")}${lens.lines > own ? " of this camera's clips" : ""}`;
  if (summary?.lens && "from" in summary.lens && summary.lens.from === "straight lines")
    return `The bend is told by ${lines}.`;
  const its = linesTold(m.whole, m.trial.id, setupOf(m.whole, m.trial.id))?.lens;
  if (!its || !summary?.camera) return `${lines}: what they tell is used once there is a scale.`;
  const at = atFocal(its, ...zoomOf(summary.camera));
  if (!at)
    return `${lines}: through so long a lens they tell no more than is allowed for of any; an ordinary one hardly bends there.`;
  const k1 = formatReading({ value: at.k1, u95: K95 * at.sdK1 }, "");
  return `${lines}: k1 ${k1}. Not used: the lens is given, or the ice points tell it better or tell another one.`;
}
