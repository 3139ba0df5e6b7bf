import type { Shell } from "../../shell/Shell.ts";
import type { Session } from "../../store/session.ts";

/** What every place is given. */
export interface PlaceProps {
  readonly session: Session;
  readonly shell: Shell;
}
