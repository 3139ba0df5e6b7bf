/** Who a key belongs to: what is being typed in, an open list or dialog, a control one went to by Tab; else the place. */

/** True when keys belong to a field: anything one types text into, or an open list. */
export function typing(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  // A field that only shows what was chosen from a list takes no text.
  if (target instanceof HTMLInputElement && target.readOnly) return target.ariaExpanded === "true";
  if (target instanceof HTMLInputElement)
    return !["checkbox", "radio", "button", "range"].includes(target.type);
  return target instanceof HTMLTextAreaElement || target.isContentEditable;
}

/** What is open over the place and has keys of its own. */
export function inDialog(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest("[role=dialog], [role=listbox], [role=menu]") !== null;
}

/** True when the place must leave this key alone. */
export function belongsElsewhere(e: KeyboardEvent): boolean {
  const { target, key } = e;
  if (e.ctrlKey || e.metaKey || typing(target) || inDialog(target)) return true;
  if (!(target instanceof HTMLElement)) return false;
  const presses = key === "Enter" || key === " ";
  if (presses && target.closest("button, a, summary, input")) return true;
  if (target instanceof HTMLSelectElement) return presses || key.length === 1 || key.startsWith("Arrow");
  const upOrDown = key === "ArrowUp" || key === "ArrowDown";
  if (upOrDown && target instanceof HTMLInputElement && target.readOnly) return true;
  return target instanceof HTMLInputElement && target.type === "radio" && key.startsWith("Arrow");
}
