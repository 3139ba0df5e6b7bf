import { type StoreApi } from "zustand/vanilla";
import type { OpenedStudy, Place } from "../../src/study/exchange.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import type { Command } from "../commands/Command.ts";
export interface Step {
    readonly whole: WholeStudy;
    readonly label: string;
}
export interface SessionState {
    readonly whole: WholeStudy;
    readonly folder: string;
    readonly readOnly: boolean;
    readonly notices: readonly string[];
    readonly place: Place;
    readonly trial: string | null;
    readonly frame: number;
    readonly past: readonly Step[];
    readonly future: readonly Step[];
}
export type Session = StoreApi<SessionState>;
export declare function createSession(opened: OpenedStudy): Session;
/** Does one thing to the study and records it for undo. */
export declare function perform<Args>(session: Session, command: Command<Args>, args: Args): void;
export declare function undo(session: Session): void;
export declare function redo(session: Session): void;
