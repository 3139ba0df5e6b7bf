import { lazy, Suspense, useEffect, useLayoutEffect, useMemo, useRef } from "react";
import { useStore } from "zustand";
import type { StoreApi } from "zustand/vanilla";
import { placeComponent } from "./fetchedPlaces.ts";
import { Bar } from "./frame/Bar.tsx";
import { ErrorBoundary } from "./frame/ErrorBoundary.tsx";
import { FirstSteps } from "./frame/FirstSteps.tsx";
import { Messages } from "./frame/Messages.tsx";
import { Notices } from "./frame/Notices.tsx";
import { SaveProblem } from "./frame/SaveProblem.tsx";
import { UnsavedNotice, type UnsavedOffers } from "./frame/UnsavedNotice.tsx";
import { useUndoKeys } from "./frame/useUndoKeys.ts";
import type { PlaceProps } from "./places/shared/PlaceProps.ts";
import type { Autosave } from "./store/autosave.ts";
import { createFirstSteps, noteSteps } from "./store/firstSteps.ts";
import { liftOlder } from "./store/lifting.ts";
import { dismissAll } from "./store/messages.ts";
import "./frame/frame.css";

/** Seldom asked for. */
const StartPage = lazy(async () => ({ default: (await import("./start/StartPage.tsx")).StartPage }));
const SeasonPage = lazy(async () => ({ default: (await import("./season/SeasonPage.tsx")).SeasonPage }));

interface AppProps extends PlaceProps {
  readonly autosave: Autosave;
  readonly unsaved: StoreApi<UnsavedOffers>;
  /** Makes this window the one that writes. */
  readonly takeOver: () => void;
  /** Opens the study anew as it is on the disk. */
  readonly takeTheirs: () => void;
}

/** The window: the bar of places, notices, and the place that is open. */
export function App({ session, shell, autosave, unsaved, takeOver, takeTheirs }: AppProps) {
  const place = useStore(session, (s) => s.place);
  const steps = useMemo(createFirstSteps, []);
  const main = useRef<HTMLElement>(null);
  useUndoKeys(session);
  useEffect(() => noteSteps(session, steps), [session, steps]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a message belongs to the place it was said in
  useEffect(dismissAll, [place]);
  // Once, whoever opens it: a study that is only read stays as it is.
  useEffect(() => liftOlder(session), [session]);
  const beside = useStore(session, (s) => s.beside);
  // What was scrolled to in one place is nothing in the next.
  // biome-ignore lint/correctness/useExhaustiveDependencies: whenever another place opens
  useLayoutEffect(() => {
    if (main.current) main.current.scrollTop = 0;
  }, [place, beside]);
  const Open = placeComponent(place);
  return (
    <div className="frame">
      <button type="button" className="skip" onClick={() => main.current?.focus()}>
        Skip to the place
      </button>
      <Bar session={session} autosave={autosave} steps={steps} />
      <main className="main" ref={main} tabIndex={-1}>
        <FirstSteps session={session} steps={steps} />
        <Notices session={session} takeOver={takeOver} />
        <SaveProblem session={session} autosave={autosave} takeTheirs={takeTheirs} />
        <UnsavedNotice session={session} unsaved={unsaved} />
        <ErrorBoundary about={place}>
          <Suspense fallback={<p style={{ padding: 24 }}>Opening …</p>}>
            {beside === "studies" && <StartPage session={session} shell={shell} autosave={autosave} />}
            {beside === "season" && <SeasonPage session={session} shell={shell} autosave={autosave} />}
            {beside === null && <Open session={session} shell={shell} />}
          </Suspense>
        </ErrorBoundary>
      </main>
      <Messages />
    </div>
  );
}
