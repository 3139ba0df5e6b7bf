import { describe, expect, it, onTestFinished } from "vitest";
import {
  answerScheme,
  denyPermissions,
  guardAll,
  keepAtHome,
  ORIGIN,
  ORIGINS,
  SCHEME,
  studyArgument,
  windowOptions,
} from "../../electron/desktopDoor.ts";
import { createHost } from "../../electron/host/createHost.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

describe("the desktop's door", () => {
  it("hands its own scheme to the same host, and nobody else's", async () => {
    const host = await createHost({
      study: studyFolder(),
      windowDir: temporaryFolder(),
      origins: () => ORIGINS,
    });
    onTestFinished(() => host.close());
    let answer: ((request: Request) => Promise<Response>) | undefined;
    answerScheme(
      {
        handle(scheme, handler) {
          expect(scheme).toBe(SCHEME);
          answer = handler;
        },
      },
      () => host,
    );
    const study = await answer?.(new Request(`${ORIGIN}/api/study`, { headers: { origin: ORIGIN } }));
    expect(await study?.json()).toMatchObject({ study: STUDY });
    const other = await answer?.(new Request("blademark://other/api/study"));
    expect(other?.status).toBe(403);
    const web = await answer?.(
      new Request(`${ORIGIN}/api/study`, { headers: { origin: "https://evil.example" } }),
    );
    expect(web?.status).toBe(403);
  });

  it("lets the window go nowhere else and open nothing", () => {
    const listeners = new Map<string, (event: { preventDefault(): void }, url: string) => void>();
    let open: ((details: { url: string }) => { action: string }) | undefined;
    keepAtHome({
      setWindowOpenHandler: (handler) => {
        open = handler;
      },
      on: (event: string, listener: never) => listeners.set(event, listener),
    });
    const stopped = (event: string, url: string) => {
      let prevented = false;
      listeners.get(event)?.({ preventDefault: () => (prevented = true) } as never, url);
      return prevented;
    };
    expect(open?.({ url: "https://example.org" })).toEqual({ action: "deny" });
    for (const event of ["will-navigate", "will-redirect"]) {
      expect(stopped(event, `${ORIGIN}/`)).toBe(false);
      for (const url of [
        "https://example.org/",
        "file:///etc/passwd",
        "blademark://other/",
        "blademark://app.evil/",
        "no address",
      ])
        expect(stopped(event, url), url).toBe(true);
    }
    expect(stopped("will-attach-webview", "")).toBe(true);
  });

  it("puts every content and every session under its guards, whoever made them", () => {
    const told = new Map<string, (...args: never[]) => void>();
    const dropped: string[] = [];
    guardAll({ on: (event: string, listener: never) => told.set(event, listener) }, (path) =>
      dropped.push(path),
    );
    for (let made = 0; made < 3; made++) {
      const heard = new Map<string, (event: object, url: string) => void>();
      let open: (() => { action: string }) | undefined;
      const contents = {
        setWindowOpenHandler: (handler: () => { action: string }) => {
          open = handler;
        },
        on: (event: string, listener: (event: object, url: string) => void) => heard.set(event, listener),
      };
      told.get("web-contents-created")?.(...([{}, contents] as never[]));
      expect(open?.()).toEqual({ action: "deny" });
      for (const event of ["will-navigate", "will-redirect", "will-frame-navigate", "will-attach-webview"]) {
        let stopped = false;
        const url = "https://example.org/";
        heard.get(event)?.({ preventDefault: () => (stopped = true), url }, url);
        expect(stopped, event).toBe(true);
      }
      let stays = true;
      const inside = { preventDefault: () => (stays = false), url: `${ORIGIN}/report` };
      heard.get("will-frame-navigate")?.(inside, "");
      expect(stays).toBe(true);
      heard.get("will-navigate")?.(
        { preventDefault: () => undefined },
        "file:///studies/november/study.json",
      );
    }
    expect(dropped).toEqual(Array(3).fill("/studies/november/study.json"));

    const handlers: ((...args: never[]) => unknown)[] = [];
    let request: ((details: { url: string }, answer: (r: { cancel: boolean }) => void) => void) | undefined;
    const session = {
      setPermissionRequestHandler: (handler: (typeof handlers)[0]) => handlers.push(handler),
      setPermissionCheckHandler: (handler: (typeof handlers)[0]) => handlers.push(handler),
      setDevicePermissionHandler: (handler: (typeof handlers)[0]) => handlers.push(handler),
      webRequest: {
        onBeforeRequest: (handler: typeof request) => {
          request = handler;
        },
      },
    };
    told.get("session-created")?.(...([session] as never[]));
    expect(handlers).toHaveLength(3);
    const cancelled = (url: string) => {
      let cancel: boolean | undefined;
      request?.({ url }, (response) => {
        cancel = response.cancel;
      });
      return cancel;
    };
    for (const url of [
      `${ORIGIN}/api/study`,
      `blob:${ORIGIN}/1`,
      "data:image/png;base64,AA",
      "devtools://x/y",
    ])
      expect(cancelled(url), url).toBe(false);
    for (const url of [
      ...["https://example.org/", "http://127.0.0.1:9/", "ws://example.org/", "file:///etc/passwd"],
      ...["ftp://example.org/", "blademark://other/", "file://server/share/a.mp4", "no address"],
    ])
      expect(cancelled(url), url).toBe(true);
  });

  it("denies every permission", () => {
    let granted: boolean | undefined;
    let check: (() => boolean) | undefined;
    let device: (() => boolean) | undefined;
    denyPermissions({
      webRequest: { onBeforeRequest: () => undefined },
      setDevicePermissionHandler: (handler) => {
        device = handler;
      },
      setPermissionRequestHandler: (handler) =>
        handler(null, "geolocation", (answer) => {
          granted = answer;
        }),
      setPermissionCheckHandler: (handler) => {
        check = handler;
      },
    });
    expect(granted).toBe(false);
    expect(check?.()).toBe(false);
    expect(device?.()).toBe(false);
  });

  it("gives the page a sandbox and no Node", () => {
    expect(windowOptions("/p/preload.cjs").webPreferences).toMatchObject({
      ...{ contextIsolation: true, sandbox: true, nodeIntegration: false, webviewTag: false },
    });
  });

  it("finds the study on the command line, packed or not", () => {
    expect(studyArgument(["electron", "main.js", "studies/november"], false)).toBe("studies/november");
    expect(studyArgument(["blademark", "--flag", "november"], true)).toBe("november");
    expect(studyArgument(["electron", "main.js"], false)).toBeNull();
  });
});
