import { join, resolve } from "node:path";
import {
  app,
  BrowserWindow,
  dialog,
  Menu,
  type MenuItemConstructorOptions,
  protocol,
  session,
} from "electron";
import { MeasureError } from "../src/errors.ts";
import { demoStudy } from "./demoStudy.ts";
import {
  answerScheme,
  denyPermissions,
  keepAtHome,
  ORIGIN,
  ORIGINS,
  SCHEME_RIGHTS,
  studyArgument,
  windowOptions,
} from "./desktopDoor.ts";
import { createHost, type Host } from "./host/createHost.ts";
import { packageRoot } from "./packageRoot.ts";
import { createStudy } from "./vault/createStudy.ts";

/** The desktop door: one window, one open study. */
const root = packageRoot();
let host: Host;
let window: BrowserWindow | null = null;

protocol.registerSchemesAsPrivileged([SCHEME_RIGHTS]);

/** Opens the new study before the old one is let go, so that a folder that cannot be opened changes nothing. */
async function openStudy(folder: string): Promise<void> {
  const next = await createHost({
    study: folder,
    windowDir: join(root, "dist", "app"),
    origins: () => ORIGINS,
  });
  const before: Host | undefined = host;
  host = next;
  await window?.loadURL(`${ORIGIN}/`);
  await before?.close();
}

async function chooseStudy(): Promise<void> {
  const { filePaths } = await dialog.showOpenDialog({
    title: "Open a study folder",
    properties: ["openDirectory"],
  });
  const [folder] = filePaths;
  if (folder) await orTell(openStudy(folder));
}

async function chooseNewStudy(): Promise<void> {
  const { filePath } = await dialog.showSaveDialog({
    title: "Folder of the new study",
    buttonLabel: "Make study",
  });
  if (filePath) await orTell(createStudy(filePath).then(() => openStudy(filePath)));
}

async function orTell(work: Promise<void>): Promise<void> {
  try {
    await work;
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    dialog.showErrorBox("Blademark", error.coach);
  }
}

function menu(): MenuItemConstructorOptions[] {
  return [
    ...(process.platform === "darwin" ? [{ role: "appMenu" } as const] : []),
    {
      label: "Study",
      submenu: [
        { label: "Open …", accelerator: "CmdOrCtrl+O", click: () => void chooseStudy() },
        { label: "New …", accelerator: "CmdOrCtrl+N", click: () => void chooseNewStudy() },
        { type: "separator" },
        { role: "quit" },
      ],
    },
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

function createWindow(): BrowserWindow {
  const made = new BrowserWindow(windowOptions(join(root, "dist", "electron", "preload.cjs")));
  keepAtHome(made.webContents);
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
  return made;
}

async function start(): Promise<void> {
  denyPermissions(session.defaultSession);
  const named = studyArgument(process.argv, app.isPackaged);
  await openStudy(named ? resolve(named) : await demoStudy(root));
  answerScheme(protocol, () => host);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menu()));
  window = createWindow();
  await window.loadURL(`${ORIGIN}/`);
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

void app
  .whenReady()
  .then(start)
  .catch((error: unknown) => {
    dialog.showErrorBox("Blademark", error instanceof MeasureError ? error.coach : String(error));
    app.exit(1);
  });
