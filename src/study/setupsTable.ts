import { MORE_THAN_0, readTable, WHOLE_FROM_1 } from "./csv.ts";
import type { CameraSetup, LikeClip, SetupTrial } from "./types.ts";

const TURNS = ["like_dx_px", "like_dy_px", "like_turn_deg"] as const;
const SETUPS = {
  table: "setups.csv",
  required: ["setup", "trial"],
  optional: [
    "view",
    "setup_id",
    "camera",
    "lens_k1",
    "lens_k2",
    "like_by",
    "like_trial",
    "like_view",
    "like_u_px",
    ...TURNS,
  ],
};
const BY = ["said", "looked", "background"] as const;

interface ClipRow {
  readonly setup: Omit<CameraSetup, "trials">;
  readonly clip: SetupTrial;
}

/**
 * `setups.csv`: which clips were filmed by one camera from one place, a row a clip.
 *
 * @param idOf what a trial's view, counted from 1, is called where its marks are kept; null where there is none
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readSetups(
  text: string,
  idOf: (trial: string, view: number) => string | null,
): CameraSetup[] {
  const lineOf = new Map<string, number>();
  const rows = readTable(text, SETUPS, (row): ClipRow => {
    const clip = (trialColumn: string, viewColumn: string) => {
      const trial = row.text(trialColumn);
      const view = row.optionalNumber(viewColumn, WHOLE_FROM_1) ?? 1;
      const id = idOf(trial, view);
      if (id === null) row.wrong(`there is no view ${view} of ${trial}`);
      return id ?? "";
    };
    const trial = clip("trial", "view");
    const before = lineOf.get(trial);
    if (before !== undefined) row.wrong(`is the same clip as line ${before}; a clip is in one set-up`);
    lineOf.set(trial, row.line);
    const by = row.optionalChoice("like_by", BY);
    const [dxPx, dyPx, turnDeg] = TURNS.map((name) => row.optionalNumber(name));
    const uPx = row.optionalNumber("like_u_px", MORE_THAN_0);
    const like: LikeClip | null = by
      ? {
          trial: clip("like_trial", "like_view"),
          by,
          ...(dxPx !== undefined && { dxPx }),
          ...(dyPx !== undefined && { dyPx }),
          ...(turnDeg !== undefined && { turnDeg }),
          ...(uPx !== undefined && { uPx }),
        }
      : null;
    const name = row.text("setup");
    const camera = row.optionalText("camera");
    const [k1, k2] = [row.optionalNumber("lens_k1"), row.optionalNumber("lens_k2")];
    return {
      setup: {
        id: row.optionalText("setup_id") ?? name,
        name,
        ...(camera !== undefined && { camera }),
        ...(k1 !== undefined && { lens: { k1, ...(k2 !== undefined && { k2 }) } }),
      },
      clip: { trial, ...(like && { like }) },
    };
  });
  const ids = [...new Set(rows.map(({ setup }) => setup.id))];
  return ids.map((id) => {
    const own = rows.filter(({ setup }) => setup.id === id);
    return { ...own[0]!.setup, trials: own.map(({ clip }) => clip) };
  });
}
