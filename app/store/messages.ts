import { createStore } from "zustand/vanilla";

/** A sentence for the coach that stays until it is read or no longer true. */
export interface Message {
  readonly id: number;
  readonly kind: "problem" | "note";
  readonly text: string;
  /** What can be done about it. */
  readonly actions: readonly MessageAction[];
}

export interface MessageAction {
  readonly label: string;
  act(): void;
}

export const messages = createStore<{ readonly list: readonly Message[]; readonly next: number }>(() => ({
  list: [],
  next: 1,
}));

/** Shows a sentence; the same sentence is not shown twice at once. */
export function say(
  text: string,
  kind: Message["kind"] = "problem",
  actions: readonly MessageAction[] = [],
): void {
  const { list, next } = messages.getState();
  const others = list.filter((m) => m.text !== text);
  messages.setState({ list: [...others, { id: next, kind, text, actions }].slice(-3), next: next + 1 });
}

export function dismiss(id: number): void {
  messages.setState(({ list }) => ({ list: list.filter((m) => m.id !== id) }));
}

export function dismissAll(): void {
  if (messages.getState().list.length > 0) messages.setState({ list: [] });
}
