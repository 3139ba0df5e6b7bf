import { Button, MantineProvider } from "@mantine/core";
import "@mantine/core/styles.css";
import { createRoot, type Root } from "react-dom/client";
import { App } from "./App.tsx";
import { createHttpShell } from "./shell/httpShell.ts";
import { ShellError } from "./shell/Shell.ts";
import { type Autosave, startAutosave } from "./store/autosave.ts";
import { say } from "./store/messages.ts";
import { createSession } from "./store/session.ts";
import { theme } from "./theme.ts";
import "./theme.css";

const shell = createHttpShell(window.location.origin);
const root = createRoot(document.getElementById("window") as HTMLElement);

/** Mistakes of ours that nothing caught: said once, in words, instead of a window that silently does nothing. */
function sayBugs(): void {
  const tell = (reason: unknown) => {
    if (reason instanceof ShellError) return say(reason.message);
    const detail = reason instanceof Error ? reason.message : String(reason);
    say(`Something in Blademark went wrong (${detail}). What you did is kept; undo or try again.`);
  };
  window.addEventListener("unhandledrejection", (e) => tell(e.reason));
  window.addEventListener("error", (e) => tell(e.error ?? e.message));
}

function saveBeforeLeaving(autosave: Autosave): void {
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") autosave.leave();
  });
  window.addEventListener("pagehide", () => autosave.leave());
  window.addEventListener("beforeunload", (e) => {
    if (!autosave.unsaved()) return;
    void autosave.flush();
    if (autosave.state.getState().kind === "failed") e.preventDefault();
  });
}

async function open(): Promise<void> {
  show(root, <div className="whole-page">Opening the study …</div>);
  try {
    const opening = shell.openStudy();
    // The place people open most comes on its way while the study is read.
    void import("./places/measure/MeasurePlace.tsx");
    const session = createSession(await opening);
    const autosave = startAutosave(session, shell);
    saveBeforeLeaving(autosave);
    show(root, <App session={session} shell={shell} autosave={autosave} />);
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

function show(where: Root, what: React.ReactNode): void {
  where.render(
    <MantineProvider theme={theme} defaultColorScheme="auto">
      {what}
    </MantineProvider>,
  );
}

sayBugs();
void open();
