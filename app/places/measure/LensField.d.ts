import type { LensSummary } from "../../../src/kinematics/types.ts";
import type { Lens } from "../../../src/study/types.ts";
import type { Measuring } from "./useMeasure.ts";
/** The lens's bend: what the ice points tell of it, or what is known of it. */
export declare function LensField({
  m,
  summary,
}: {
  m: Measuring;
  summary: LensSummary | null;
}): import("react").JSX.Element | null;
/** "-0.12" or "-0.12, 0.03"; blank = not known. @throws {MeasureError} `bad-lens` */
export declare function readLens(text: string): Lens | null;
