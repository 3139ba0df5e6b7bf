import { Button, MantineProvider } from "@mantine/core";
import "@mantine/core/styles.css";
import { createRoot, type Root } from "react-dom/client";
import { createStore, type StoreApi } from "zustand/vanilla";
import type { OpenedStudy, WindowNews } from "../src/study/exchange.ts";
import { PLACES } from "../src/study/places.ts";
import { App } from "./App.tsx";
import { fetchPlace } from "./fetchedPlaces.ts";
import type { UnsavedOffers } from "./frame/UnsavedNotice.tsx";
import { createHttpShell } from "./shell/httpShell.ts";
import { ShellError } from "./shell/Shell.ts";
import { type Autosave, startAutosave } from "./store/autosave.ts";
import { browserStorage, createKeeper, type StepsKeeper } from "./store/keptSteps.ts";
import { say } from "./store/messages.ts";
import { createSession, type Session } from "./store/session.ts";
import { theme } from "./theme.ts";
import "./theme.css";

const shell = createHttpShell(new URL(".", window.location.href).href);
const root = createRoot(document.getElementById("window") as HTMLElement);

/** Mistakes of ours that nothing caught: said once, in words, instead of a window that silently does nothing. */
function tell(reason: unknown): void {
  const detail = reason instanceof Error ? reason.message : String(reason);
  if (reason instanceof ShellError) say(detail);
  else
    say(
      `Something in Blademark went wrong (${detail}). Undo or try again. If the bar says “not saved”, the notice above the place says where what you did since is kept.`,
    );
}

function sayBugs(): void {
  window.addEventListener("unhandledrejection", (e) => tell(e.reason));
  window.addEventListener("error", (e) => tell(e.error ?? e.message));
}

function saveBeforeLeaving(): void {
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") now?.autosave.leave();
  });
  window.addEventListener("pagehide", ({ persisted }) => {
    if (!now) return;
    const { autosave, keeper } = now;
    autosave.leave();
    if (!persisted && !autosave.unsaved() && keeper.found().length === 0)
      shell.leftNothing().catch(() => undefined);
  });
  window.addEventListener("beforeunload", (e) => {
    const autosave = now?.autosave;
    if (!autosave?.unsaved()) return;
    void autosave.flush();
    if (autosave.state.getState().kind === "failed") e.preventDefault();
  });
}

/** After the first picture, which they must not delay. */
const OTHER_PLACES_MS = 4000;

/** So that they open at once, and also when the program behind the window has ended. */
function fetchOtherPlaces(): void {
  // What does not come now is asked for again when it is opened, and said then.
  for (const place of PLACES) fetchPlace(place).catch(() => {});
}

let now: {
  readonly session: Session;
  readonly autosave: Autosave;
  readonly keeper: StepsKeeper;
} | null = null;
let watching = false;

/** The last thing the host said about who writes. */
let told: WindowNews["kind"] | null = null;

/** What the host has to say about who writes. */
function hear(news: WindowNews): void {
  told = news.kind;
  if (!now) return;
  const { session, autosave } = now;
  // The window that wrote has gone.
  if (news.kind === "writing" && session.getState().readOnly) void open();
  if (news.kind === "hand-over") void autosave.flush().then(() => shell.letGo());
  if (news.kind !== "reading-only") return;
  const { notices } = session.getState();
  session.setState({ readOnly: true, owner: "another window", notices: [...notices, news.text] });
}

async function open(): Promise<void> {
  // Asked for first: the host answers while the window is put up.
  const watched = watching ? null : shell.watch(hear);
  show(root, <div className="whole-page">Opening the study …</div>);
  try {
    await watched;
    watching = true;
    const opening = shell.openStudy();
    // The place people open most comes on its way while the study is read.
    void fetchPlace("measure").catch(() => {});
    let opened = await opening;
    // The window that wrote went while this one opened.
    if (opened.readOnly && opened.owner !== null && told === "writing") opened = await shell.openStudy();
    const session = createSession(opened);
    await fetchPlace(session.getState().place).catch(() => {});
    setTimeout(fetchOtherPlaces, OTHER_PLACES_MS);
    now?.autosave.stop();
    const keeper = createKeeper(browserStorage(), opened.folder, shell.window);
    const autosave = startAutosave(session, shell, keeper);
    now = { session, autosave, keeper };
    const unsaved = createStore<UnsavedOffers>(() => ({ offer: null }));
    if (!opened.readOnly && keeper.found().length > 0) void offerUnsaved(unsaved, opened, keeper);
    const anew = (first: Promise<void>) => void first.then(open).catch(tell);
    show(
      root,
      <App
        session={session}
        shell={shell}
        autosave={autosave}
        unsaved={unsaved}
        takeOver={() => anew(shell.takeOver())}
        takeTheirs={() => anew(shell.choose(null))}
      />,
    );
  } catch (error) {
    if (!(error instanceof ShellError)) throw error;
    show(
      root,
      <div className="whole-page" role="alert">
        <h1>The study can't be opened</h1>
        <p>{error.message}</p>
        <Button onClick={() => void open()}>Try again</Button>
      </div>,
    );
  }
}

/** What checks the steps comes only where there are any. */
async function offerUnsaved(
  unsaved: StoreApi<UnsavedOffers>,
  opened: OpenedStudy,
  keeper: StepsKeeper,
): Promise<void> {
  const { unsavedOffer } = await import("./store/unsavedOffer.ts");
  unsaved.setState({ offer: unsavedOffer(opened, keeper) });
}

function show(where: Root, what: React.ReactNode): void {
  where.render(
    <MantineProvider theme={theme} defaultColorScheme="auto">
      {what}
    </MantineProvider>,
  );
}

sayBugs();
saveBeforeLeaving();
void open();
