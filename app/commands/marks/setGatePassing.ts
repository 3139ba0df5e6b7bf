import type { GatePassing, MarkedPicture } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { marksOf, onPicture, withMarks } from "./marksOf.ts";

/** Says in which frame the skater's front passes a gate; null = takes that back. */
export const setGatePassing: Command<{
  trial: string;
  gate: number;
  at: Pick<GatePassing, "frame" | "time" | "share"> | null;
  picture: MarkedPicture;
}> = {
  name: "setGatePassing",
  label: ({ gate, at }) =>
    at
      ? `gate at ${gate} m: frame ${at.frame}${at.share === undefined ? "" : ", a part of a step before it"}`
      : `no frame for the gate at ${gate} m`,
  run(whole, { trial, gate, at, picture }) {
    const before = marksOf(whole, trial);
    const old = before.gatePassings ?? [];
    const known = old.find((p) => p.gate === gate);
    const same = known?.frame === at?.frame && known?.time === at?.time && known?.share === at?.share;
    if (at ? same : !known) return whole;
    const others = old.filter((p) => p.gate !== gate);
    const gatePassings = [...others, ...(at ? [{ gate, ...at }] : [])].sort((a, b) => a.gate - b.gate);
    return withMarks(whole, { ...onPicture(before, picture), gatePassings });
  },
};
