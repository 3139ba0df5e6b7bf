import type { MeasureInput } from "../../kinematics/types.ts";
import type { Warning } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import type { Match } from "./matchContacts.ts";
import type { ShownContact, ShownContacts } from "./shownContacts.ts";

/** A view without what it calls by the wrong side, and what to say about it. */
export interface Sided {
  readonly inputs: readonly MeasureInput[];
  readonly warnings: readonly Warning[];
}

/**
 * Contacts that two views show at one moment and call by different sides: the feet take turns, so the view in which they then
 * would not is wrong. What it shows of them, and everything marked in their frames, is left out and said; where nothing tells,
 * neither view's is used.
 *
 * @param matches of the second view with the first, the third with the first …
 */
export function withoutExchanged(
  inputs: readonly MeasureInput[],
  shown: readonly ShownContacts[],
  matches: readonly Match[],
): Sided {
  const frames = inputs.map(() => new Set<number>());
  const warnings: Warning[] = [];
  matches.forEach(({ pairs }, k) => {
    const v = k + 1;
    const crossed = pairs.filter(({ a, b }) => a.side !== b.side);
    if (crossed.length === 0) return;
    const gains = [
      turnsGained(shown[0]!.contacts, new Set(crossed.map(({ a }) => a))),
      turnsGained(shown[v]!.contacts, new Set(crossed.map(({ b }) => b))),
    ] as const;
    const blamed = gains[0] === gains[1] ? null : gains[0] > gains[1] ? 0 : v;
    for (const { a, b } of crossed) {
      if (blamed !== v) frames[0]!.add(a.frame);
      if (blamed !== 0) frames[v]!.add(b.frame);
      warnings.push({ code: "views-disagree", text: words(a, b, v, blamed) });
    }
  });
  const left = inputs.map((input, v) => without(input, frames[v]!));
  return { inputs: left, warnings };
}

/** By how many the places where one foot leaves or lands twice running grow fewer when these contacts change sides. */
function turnsGained(contacts: readonly ShownContact[], crossed: ReadonlySet<ShownContact>): number {
  const twice = (sideOf: (c: ShownContact) => Side) =>
    (["blade_off", "blade_on"] as const).reduce((sum, event) => {
      const own = contacts.filter((c) => c.event === event);
      return sum + own.slice(1).filter((c, k) => sideOf(c) === sideOf(own[k]!)).length;
    }, 0);
  const other = (side: Side): Side => (side === "left" ? "right" : "left");
  return twice((c) => c.side) - twice((c) => (crossed.has(c) ? other(c.side) : c.side));
}

/** Without the contacts of these frames, the nearest frames of the recoveries between them, and all marks there. */
function without(input: MeasureInput, frames: ReadonlySet<number>): MeasureInput {
  if (frames.size === 0) return input;
  const [first, last] = [Math.min(...frames), Math.max(...frames)];
  const dropped = new Set(frames);
  for (const e of input.events)
    if (e.event === "recovery_min" && e.frame > first && e.frame < last) dropped.add(e.frame);
  const isArm = (event: string) => event.startsWith("arm_");
  return {
    ...input,
    events: input.events.filter((e) => isArm(e.event) || !dropped.has(e.frame)),
    marks: input.marks.filter((m) => !dropped.has(m.frame)),
  };
}

function words(a: ShownContact, b: ShownContact, v: number, blamed: number | null): string {
  const event = a.event.replace("_", "-");
  const shown = `Views 1 and ${v + 1} disagree about left and right: the ${event} in frame ${a.frame} of view 1 is called ${a.side}, the same one in frame ${b.frame} of view ${v + 1} ${b.side}`;
  return blamed === null
    ? `${shown}. Nothing tells which of them is right, so neither is used. Check both.`
    : `${shown}. The feet take turns only by view ${blamed === 0 ? v + 1 : 1}, so what view ${blamed + 1} shows there is not used. Check whether left and right are exchanged in it.`;
}
