import { writeFile } from "node:fs/promises";
import { basename, join, resolve } from "node:path";
import { app, BrowserWindow, dialog, Menu, protocol, shell } from "electron";
import { MeasureError } from "../src/errors.ts";
import { demoStudy } from "./demoStudy.ts";
import {
  answerScheme,
  guardAll,
  ORIGIN,
  ORIGINS,
  SCHEME_RIGHTS,
  studyArgument,
  studyFolderOf,
  windowOptions,
} from "./desktopDoor.ts";
import { crashWords, desktopMenu, type MenuActions } from "./desktopMenu.ts";
import { createHost, type Host } from "./host/createHost.ts";
import { packageRoot } from "./packageRoot.ts";
import { recentStudies, rememberStudy } from "./recentStudies.ts";
import { copyStudy } from "./vault/copyStudy.ts";
import { createStudy } from "./vault/createStudy.ts";

/** The desktop door: one window, one open study. */
const root = packageRoot();
const recentFile = () => join(app.getPath("userData"), "recent-studies.json");
let host: Host | undefined;
let window: BrowserWindow | null = null;
/** Named by the system before the program was ready (macOS). */
let namedEarly: string | null = null;

protocol.registerSchemesAsPrivileged([SCHEME_RIGHTS]);
guardAll(app, (path) => openNamed(studyFolderOf(path)));

/** Opens the new study before the old one is let go, so that a folder that cannot be opened changes nothing. */
async function openStudy(folder: string): Promise<void> {
  const before = host;
  host = await createHost({
    study: folder,
    windowDir: join(root, "dist", "app"),
    oneWindow: true,
    studies: {
      recent: () => recentStudies(recentFile()),
      // The window is taken there; where it came from is gone by the time it would hear an answer.
      open: async (other) => {
        await openStudy(other);
        return `${ORIGIN}/`;
      },
      demo,
    },
    origins: () => ORIGINS,
  });
  await window?.loadURL(`${ORIGIN}/`);
  await before?.close();
  showMenu(await rememberStudy(recentFile(), folder));
}

const actions: MenuActions = {
  async open() {
    const { filePaths } = await dialog.showOpenDialog({
      title: "Open a study folder",
      properties: ["openDirectory"],
    });
    const [folder] = filePaths;
    if (folder) await orTell(openStudy(folder));
  },
  openRecent: (folder) => void orTell(openStudy(folder)),
  async create() {
    const { filePath } = await dialog.showSaveDialog({
      title: "Folder of the new study",
      buttonLabel: "Make study",
    });
    if (filePath) await orTell(createStudy(filePath).then(() => openStudy(filePath)));
  },
  async saveAs() {
    if (!host) return;
    const { folder } = host.vault;
    const { filePath } = await dialog.showSaveDialog({
      title: "Folder of the copy",
      defaultPath: `${folder} copy`,
      buttonLabel: "Save copy",
    });
    if (filePath)
      await orTell(
        host.vault
          .settled()
          .then(() => copyStudy(folder, filePath))
          .then(() => openStudy(filePath)),
      );
  },
  print: () => window?.webContents.print(),
  async savePdf() {
    if (!window || !host) return;
    const { filePath } = await dialog.showSaveDialog({
      title: "Save as PDF",
      defaultPath: `${basename(host.vault.folder)}.pdf`,
    });
    if (!filePath) return;
    const pdf = await window.webContents.printToPDF({
      printBackground: true,
      pageSize: "A4",
      preferCSSPageSize: true,
    });
    await orTell(writeFile(filePath, pdf));
  },
  showFolder: () => host && shell.showItemInFolder(join(host.vault.folder, "study.json")),
};

/** Says in a sentence what could not be done; mistakes of ours stay loud. */
async function orTell(work: Promise<void>): Promise<void> {
  try {
    await work;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (!(error instanceof MeasureError) && !code) throw error;
    dialog.showErrorBox(
      "Blademark",
      error instanceof MeasureError ? error.coach : `That cannot be written (${code}).`,
    );
  }
}

function showMenu(recent: readonly string[]): void {
  Menu.setApplicationMenu(Menu.buildFromTemplate(desktopMenu(actions, recent, process.platform)));
}

function createWindow(): BrowserWindow {
  const made = new BrowserWindow(windowOptions(join(root, "dist", "electron", "preload.cjs")));
  made.once("ready-to-show", () => made.show());
  // The page asks to stay while something is unsaved; the person decides.
  made.webContents.on("will-prevent-unload", (event) => {
    const choice = dialog.showMessageBoxSync(made, {
      message: "Something you did is not saved yet.",
      buttons: ["Stay", "Leave without saving"],
      defaultId: 0,
      cancelId: 0,
    });
    if (choice === 1) event.preventDefault();
  });
  made.webContents.on("render-process-gone", (_event, { reason }) => {
    if (reason === "clean-exit") return;
    const words = crashWords(host?.vault.folder ?? null, reason);
    if (dialog.showMessageBoxSync({ type: "error", ...words, buttons: ["Open again", "Quit"] }) === 0)
      made.reload();
    else app.quit();
  });
  return made;
}

async function start(): Promise<void> {
  const named = studyArgument(process.argv, app.isPackaged) ?? namedEarly;
  showMenu(await recentStudies(recentFile()));
  await openStudy(named ? resolve(named) : await demo());
  answerScheme(protocol, () => host as Host);
  window = createWindow();
  await window.loadURL(`${ORIGIN}/`);
}

/** The sample clips lie beside the packed program; the copy of the demo must outlive its updates. */
function demo(): Promise<string> {
  return app.isPackaged ? demoStudy(process.resourcesPath, app.getPath("userData")) : demoStudy(root);
}

/** Another start of the program, or a file opened with it: the same window shows that study. */
function openNamed(folder: string | null): void {
  if (window?.isMinimized()) window.restore();
  window?.focus();
  if (folder === null) return;
  if (window) void orTell(openStudy(resolve(folder)));
  else namedEarly = folder;
}

let closing = false;
app.on("will-quit", (event) => {
  if (closing || !host) return;
  event.preventDefault();
  closing = true;
  // The page's last save is a request that outlives it; close waits for what has been handed in.
  void host.close().finally(() => app.quit());
});
app.on("window-all-closed", () => app.quit());
app.on("second-instance", (_event, argv) => openNamed(studyArgument(argv, app.isPackaged)));
app.on("open-file", (event, path) => {
  event.preventDefault();
  openNamed(studyFolderOf(path));
});
process.on("uncaughtException", (error) => {
  const { message, detail } = crashWords(host?.vault.folder ?? null, String(error.stack ?? error));
  dialog.showErrorBox(message, detail);
  app.exit(1);
});

if (!app.requestSingleInstanceLock()) app.quit();
else
  void app
    .whenReady()
    .then(start)
    .catch((error: unknown) => {
      dialog.showErrorBox("Blademark", error instanceof MeasureError ? error.coach : String(error));
      app.exit(1);
    });
