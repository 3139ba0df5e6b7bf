import type { MenuItemConstructorOptions } from "electron";

/** What the menu can do; each is said in words when it fails. */
export interface MenuActions {
  open(): void;
  openRecent(folder: string): void;
  create(): void;
  saveAs(): void;
  print(): void;
  savePdf(): void;
  showFolder(): void;
}

/** More would not fit on a small screen. */
const LISTED = 10;

/** The menu of the desktop's window. `recent`: folders, newest first. */
export function desktopMenu(
  actions: MenuActions,
  recent: readonly string[],
  platform: NodeJS.Platform,
): MenuItemConstructorOptions[] {
  const studies: MenuItemConstructorOptions[] =
    recent.length > 0
      ? recent.slice(0, LISTED).map((folder) => ({ label: folder, click: () => actions.openRecent(folder) }))
      : [{ label: "None yet", enabled: false }];
  return [
    ...(platform === "darwin" ? [{ role: "appMenu" } as const] : []),
    {
      label: "Study",
      submenu: [
        { label: "Open …", accelerator: "CmdOrCtrl+O", click: () => actions.open() },
        { label: "Open one of the last", submenu: studies },
        { label: "New …", accelerator: "CmdOrCtrl+N", click: () => actions.create() },
        { label: "Save a copy as …", accelerator: "CmdOrCtrl+Shift+S", click: () => actions.saveAs() },
        { label: "Show its folder", click: () => actions.showFolder() },
        { type: "separator" },
        { label: "Print …", accelerator: "CmdOrCtrl+P", click: () => actions.print() },
        { label: "Save as PDF …", click: () => actions.savePdf() },
        { type: "separator" },
        { role: "quit" },
      ],
    },
    // Undo and redo of text being typed; the window's own keys take the rest.
    { label: "Edit", submenu: [{ role: "cut" }, { role: "copy" }, { role: "paste" }, { role: "selectAll" }] },
    {
      label: "View",
      submenu: [
        { role: "reload" },
        { role: "togglefullscreen" },
        { role: "zoomIn" },
        { role: "zoomOut" },
        { role: "resetZoom" },
      ],
    },
  ];
}

/** What is said when the window or the program fails: where the data is, and that it is whole. */
export function crashWords(folder: string | null, reason: string): { message: string; detail: string } {
  return {
    message: "Blademark has failed. That is a mistake in Blademark, not in your study.",
    detail: `${
      folder === null
        ? "No study was open."
        : `What you did is in the study's folder, up to the last second:\n${folder}\nThe file journal.jsonl there holds what had not been written into the other files; opening the study puts it back.`
    }\n\nReason: ${reason}`,
  };
}
