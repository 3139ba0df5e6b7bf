import { MeasureError } from "../../../../src/errors.ts";
import type { LensSummary } from "../../../../src/ice/types.ts";
import type { Lens } from "../../../../src/study/types.ts";
import { setupOf } from "../../../../src/trials/scaleReference.ts";
import { formatNumber, formatReading } from "../../../../src/uncertainty/format.ts";
import { setLens } from "../../../commands/ice/setLens.ts";
import { Field } from "../../shared/Field.tsx";
import { tryCommand } from "../../shared/tryCommand.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { KeptLens } from "./KeptLens.tsx";

/** The lens's bend: what the ice points tell of it, or what is known of it. */
export function LensField({ m, summary }: { m: Measuring; summary: LensSummary | null }) {
  const reference = m.marks.iceReference;
  if (!reference || reference.kind === "known-lengths") return null;
  const lens = setupOf(m.whole, m.trial.id)?.lens ?? reference.lens;
  return (
    <div className="lens-field">
      <Field
        size="xs"
        label="Lens k1, k2"
        help="Radial bend of the lens on normalised picture coordinates, the principal point in the picture's middle; from a calibration of this camera. Blank: taken from the ice points where they tell it."
        placeholder="from the ice points"
        readOnly={m.readOnly}
        value={lens ? [lens.k1, lens.k2].filter((k) => k !== undefined).join(", ") : ""}
        onCommit={(text) => {
          try {
            return tryCommand(m.session, setLens, { trial: m.trial.id, lens: readLens(text) });
          } catch (error) {
            if (error instanceof MeasureError) return error.coach;
            throw error;
          }
        }}
      />
      {summary && <p className="quiet">{lensWords(summary)}</p>}
      <KeptLens m={m} lens={lens} />
    </div>
  );
}

/** "-0.12" or "-0.12, 0.03", also "-0,12; 0,03"; blank = not known. @throws {MeasureError} `bad-lens` */
export function readLens(text: string): Lens | null {
  if (text.trim() === "") return null;
  // Beside a point or a space a comma stands between numbers; else it is a decimal comma.
  const decimal = !text.includes(".") && !/,\s/.test(text.trim());
  const parts = text.split(decimal ? /[;\s]+/ : /[,;\s]+/).filter((part) => part !== "");
  const numbers = parts.map((part) => Number(part.replace(",", ".")));
  const [k1, k2] = numbers;
  if (k1 === undefined || parts.length > 2 || numbers.some((k) => !Number.isFinite(k) || Math.abs(k) > 2)) {
    throw new MeasureError(
      "bad-lens",
      `readLens needs one or two numbers between -2 and 2, got "${text}"`,
      `“${text}” is not a lens. Type one or two small numbers, like -0.12, 0.03, or leave it blank.`,
    );
  }
  return k2 === undefined ? { k1 } : { k1, k2 };
}

function lensWords(summary: LensSummary): string {
  if (!("from" in summary)) return `The lens's bend: ${summary.why}`;
  if (summary.from === "given" || summary.u95K1 === null)
    return "The lens as given is taken out of every mark.";
  const k1 = formatReading({ value: summary.k1, u95: summary.u95K1 }, "");
  const k2 = summary.k2 === 0 ? "" : `, k2 ${formatNumber(summary.k2, 3)}`;
  if (summary.from === "straight lines")
    return `Bend told by straight lines, as the ice points show it less well: k1 ${k1}${k2}.`;
  if (summary.from === "set-up")
    return `These ice points don't show the lens; what “${summary.learnedOn}” showed of this camera is used: k1 ${k1}${k2}.`;
  return `Bend found from the ice points: k1 ${k1}${k2}.`;
}
