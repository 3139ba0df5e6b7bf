import { useState } from "react";
import { timeText } from "../../../src/trials/readTime.ts";

export interface TimeCellProps {
  readonly label: string;
  readonly time: number | null;
  readonly doubt: string | null;
  readonly hold: (input: HTMLInputElement | null) => void;
  readonly onType: (text: string) => string | null;
  readonly onPaste: (text: string) => string | null;
  /** To the row so many below. */
  readonly onGo: (by: 1 | -1) => void;
}

/** A refused entry says why and gives way to the old time; nothing wrong is kept. */
export function TimeCell({ label, time, doubt, hold, onType, onPaste, onGo }: TimeCellProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const [refused, setRefused] = useState<string | null>(null);
  const shown = time === null ? "" : timeText(time);
  const commit = (): boolean => {
    if (typed === null || typed.trim() === shown) {
      setTyped(null);
      return true;
    }
    const why = onType(typed);
    setRefused(why);
    setTyped(null);
    return why === null;
  };
  return (
    <>
      <input
        ref={hold}
        className="time-input number"
        aria-label={label}
        aria-invalid={refused !== null}
        inputMode="decimal"
        autoComplete="off"
        value={typed ?? shown}
        placeholder="–"
        onChange={(e) => {
          setTyped(e.currentTarget.value);
          setRefused(null);
        }}
        onBlur={commit}
        onPaste={(e) => {
          const text = e.clipboardData.getData("text");
          if (!/[\t\r\n]/.test(text.replace(/(\r\n|\r|\n)$/, ""))) return;
          e.preventDefault();
          setTyped(null);
          setRefused(onPaste(text));
        }}
        onKeyDown={(e) => {
          if (e.key === "Enter" && commit()) onGo(e.shiftKey ? -1 : 1);
          if (e.key === "ArrowDown" || e.key === "ArrowUp") {
            e.preventDefault();
            if (commit()) onGo(e.key === "ArrowDown" ? 1 : -1);
          }
          if (e.key === "Escape") {
            setTyped(null);
            setRefused(null);
          }
        }}
      />
      {refused && (
        <p className="bad times-said" role="alert">
          {refused}
        </p>
      )}
      {!refused && doubt && <p className="care times-said">{doubt}</p>}
    </>
  );
}
