import { useEffect } from "react";
import { inDialog, typing } from "../../../frame/keyOwner.ts";

const picture = () => document.querySelector<HTMLElement>("[data-testid=picture]");

const goHome = () => picture()?.focus({ preventScroll: true });

/** Pressed, not typed in: a control keeps no keys for having been pressed. */
const PRESSED = "button, a, summary, [role=slider]";

/** Its list is open. */
const isOpen = (field: Element) => field.getAttribute("aria-expanded") === "true";

/**
 * Brings the focus back to the picture after whatever was pressed, chosen or sent off, so that its keys go on. A control
 * keeps the focus only where one came to it by Tab; a field while one types in it; a dialog or menu while it is open.
 */
export function useFocusHome(): void {
  useEffect(() => {
    /** The last thing done was to press Tab. */
    let tabbing = false;
    /** Where Tab led: a control stays focused there though it is pressed. */
    let tabbedTo: EventTarget | null = null;

    const settle = () => {
      const now = document.activeElement;
      const there = now instanceof HTMLElement && !now.matches("body, main") && now !== picture();
      if (there && now !== tabbedTo && !typing(now) && !inDialog(now)) goHome();
    };
    const later = (e: Event) => {
      // Its list has just opened; it is done with once it has changed.
      const opening = e.type === "click" && e.target instanceof HTMLSelectElement;
      if (!opening) setTimeout(settle, 0);
    };
    const onTab = (e: KeyboardEvent) => {
      tabbing = e.key === "Tab";
    };
    // Once the field has had its key. No timer: the next key may be waiting already.
    const onKeyDown = ({ key, target }: KeyboardEvent) => {
      if (key !== "Enter" && key !== "Escape") return;
      if (!(target instanceof HTMLInputElement) || inDialog(target) || target !== document.activeElement)
        return;
      // A form says itself when it is sent off; a box to tick keeps what Tab led to.
      if (target.form || target.type === "checkbox" || target.type === "radio") return;
      queueMicrotask(() => {
        if (document.activeElement === target && !isOpen(target)) goHome();
      });
    };
    const onMouseDown = (e: MouseEvent) => {
      const { target } = e;
      if (!(target instanceof Element) || inDialog(target)) return;
      if (target.closest("input, select, textarea, label") || !target.closest(PRESSED)) return;
      // It is pressed all the same, but the focus, and a cursor on the picture, stay where they are.
      e.preventDefault();
      if (document.activeElement !== picture()) goHome();
    };
    const onPointerDown = () => {
      tabbing = false;
      tabbedTo = null;
    };
    const onFocusIn = (e: FocusEvent) => {
      if (tabbing) tabbedTo = e.target;
      // What closes by itself gives the focus back to what opened it.
      else if (e.target instanceof Element && e.target.matches(PRESSED)) later(e);
    };
    window.addEventListener("keydown", onTab, true);
    window.addEventListener("keydown", onKeyDown);
    window.addEventListener("pointerdown", onPointerDown, true);
    window.addEventListener("mousedown", onMouseDown);
    window.addEventListener("focusin", onFocusIn);
    window.addEventListener("click", later);
    window.addEventListener("change", later);
    window.addEventListener("submit", later);
    return () => {
      window.removeEventListener("keydown", onTab, true);
      window.removeEventListener("keydown", onKeyDown);
      window.removeEventListener("pointerdown", onPointerDown, true);
      window.removeEventListener("mousedown", onMouseDown);
      window.removeEventListener("focusin", onFocusIn);
      window.removeEventListener("click", later);
      window.removeEventListener("change", later);
      window.removeEventListener("submit", later);
    };
  }, []);
}
