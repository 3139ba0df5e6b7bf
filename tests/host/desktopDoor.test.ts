import { describe, expect, it, onTestFinished } from "vitest";
import {
  answerScheme,
  denyPermissions,
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

  it("denies every permission", () => {
    let granted: boolean | undefined;
    let check: (() => boolean) | undefined;
    denyPermissions({
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
