import { fileURLToPath } from "node:url";

/**
 * What the desktop's door decides, apart from Electron's own objects so that it can be tested without its program.
 * The window is reached by a scheme of its own; no port is opened.
 */
export const SCHEME = "blademark";
export const ORIGIN = `${SCHEME}://app`;
export const ORIGINS: ReadonlySet<string> = new Set([ORIGIN]);

/** Registered before Electron is ready: the scheme behaves like https, so that fetch, workers and modules work. */
export const SCHEME_RIGHTS = {
  scheme: SCHEME,
  privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true },
} as const;

/** The window's page has no Node, no shared globals with the preload, and its process is sandboxed. */
export function windowOptions(preload: string) {
  return {
    width: 1440,
    height: 900,
    minWidth: 1024,
    minHeight: 700,
    title: "Blademark",
    backgroundColor: "#eef4f7",
    show: false,
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webviewTag: false,
      spellcheck: false,
    },
  } as const;
}

export interface ProtocolLike {
  handle(scheme: string, handler: (request: Request) => Promise<Response>): void;
}

/** Every request of the window goes to the host that is open at that moment. */
export function answerScheme(
  protocol: ProtocolLike,
  host: () => { handle(request: Request): Promise<Response> },
): void {
  protocol.handle(SCHEME, (request) => host().handle(request));
}

export interface ContentsLike {
  setWindowOpenHandler(handler: (details: { url: string }) => { action: "deny" }): void;
  on(
    event: "will-navigate" | "will-redirect",
    listener: (event: { preventDefault(): void }, url: string) => void,
  ): unknown;
  on(
    event: "will-frame-navigate",
    listener: (event: { preventDefault(): void; readonly url: string }) => void,
  ): unknown;
  on(event: "will-attach-webview", listener: (event: { preventDefault(): void }) => void): unknown;
}

/**
 * The window shows its own page and nothing else: no other address, no second window, no page inside it.
 *
 * @param dropped told the path of a file or folder that was dropped on the window, which would else leave for it
 */
export function keepAtHome(contents: ContentsLike, dropped: (path: string) => void = () => undefined): void {
  contents.setWindowOpenHandler(() => ({ action: "deny" }));
  const stay = (event: { preventDefault(): void }, url: string) => {
    if (!isOwn(url)) event.preventDefault();
  };
  contents.on("will-navigate", (event, url) => {
    stay(event, url);
    const path = pathOf(url);
    if (path !== null) dropped(path);
  });
  contents.on("will-redirect", stay);
  contents.on("will-frame-navigate", (event) => stay(event, event.url));
  contents.on("will-attach-webview", (event) => event.preventDefault());
}

export interface AppLike<Contents extends ContentsLike, Session extends SessionLike> {
  on(event: "web-contents-created", listener: (event: unknown, contents: Contents) => void): unknown;
  on(event: "session-created", listener: (session: Session) => void): unknown;
}

/** Whatever content or session there ever is, made by us or not, is under the same guards; before the first is made. */
export function guardAll<Contents extends ContentsLike, Session extends SessionLike>(
  app: AppLike<Contents, Session>,
  dropped: (path: string) => void = () => undefined,
): void {
  app.on("web-contents-created", (_event, contents) => keepAtHome(contents, dropped));
  app.on("session-created", (session) => {
    denyPermissions(session);
    askNothingElsewhere(session);
  });
}

/** The path of a file on this machine; null for every other address. */
function pathOf(url: string): string | null {
  try {
    const { protocol, hostname } = new URL(url);
    return protocol === "file:" && hostname === "" ? fileURLToPath(url) : null;
  } catch {
    return null;
  }
}

function isOwn(url: string): boolean {
  try {
    const { protocol, host } = new URL(url);
    return `${protocol}//${host}` === ORIGIN;
  } catch {
    return false;
  }
}

export interface SessionLike {
  setPermissionRequestHandler(
    handler: (contents: unknown, permission: string, answer: (granted: boolean) => void) => void,
  ): void;
  setPermissionCheckHandler(handler: () => boolean): void;
  setDevicePermissionHandler(handler: () => boolean): void;
  readonly webRequest: {
    onBeforeRequest(
      listener: (details: { readonly url: string }, answer: (response: { cancel: boolean }) => void) => void,
    ): void;
  };
}

/** Blademark needs no camera, place, notification or any other permission. */
export function denyPermissions(session: SessionLike): void {
  session.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.setPermissionCheckHandler(() => false);
  session.setDevicePermissionHandler(() => false);
}

/** No request leaves this machine, nor reads a file by its address, whoever makes it. */
export function askNothingElsewhere(session: SessionLike): void {
  session.webRequest.onBeforeRequest(({ url }, answer) => answer({ cancel: !isHarmless(url) }));
}

/** Our own page, what it holds in memory, and the browser's own tools. */
function isHarmless(url: string): boolean {
  return isOwn(url) || /^(blob|data|devtools|chrome-extension|chrome):/.test(url);
}

/**
 * The study named on the command line, or by the system for a file that was opened with Blademark; the program's own
 * arguments stand before it, switches are not studies.
 */
export function studyArgument(argv: readonly string[], packaged: boolean): string | null {
  const named = argv.slice(packaged ? 1 : 2).find((a) => !a.startsWith("-"));
  return named === undefined ? null : studyFolderOf(named);
}

/** A study's folder from what was opened or dropped: the folder itself, or its study.json. */
export function studyFolderOf(path: string): string {
  return path.replace(/[/\\]study\.json$/, "");
}
