import type { Position } from "../../src/study/exchange.ts";
import type { Shell } from "../shell/Shell.ts";
import type { Session } from "./session.ts";

/** Where the person is, saved a moment after each move. */
export class SavedPosition {
  #position: Position;
  #saved = true;
  #timer: ReturnType<typeof setTimeout> | undefined;
  readonly #session: Session;
  readonly #shell: Pick<Shell, "savePosition">;
  readonly #delayMs: number;

  constructor(session: Session, shell: Pick<Shell, "savePosition">, delayMs: number) {
    this.#session = session;
    this.#shell = shell;
    this.#delayMs = delayMs;
    this.#position = positionOf(session);
  }

  /** The session has changed; perhaps the person has moved. */
  look(): void {
    const now = positionOf(this.#session);
    const { place, trial, frame } = this.#position;
    if (now.place === place && now.trial === trial && now.frame === frame) return;
    this.#position = now;
    this.#saved = false;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.save(), this.#delayMs);
  }

  save(): void {
    clearTimeout(this.#timer);
    if (this.#saved) return;
    this.#saved = true;
    // Losing the place where one was costs nothing; the next move tries again.
    this.#shell.savePosition(this.#position).catch(() => undefined);
  }

  stop(): void {
    clearTimeout(this.#timer);
  }
}

function positionOf(session: Session): Position {
  const { place, trial, frame } = session.getState();
  return { place, trial, frame };
}
