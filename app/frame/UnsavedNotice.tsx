import { useState } from "react";
import { useStore } from "zustand";
import type { StoreApi } from "zustand/vanilla";
import type { JournalStep } from "../../src/study/journal.ts";
import type { Session } from "../store/session.ts";
import { clockTime } from "../store/time.ts";
import { stepWords } from "../store/undoing.ts";
import type { UnsavedOffer } from "../store/unsavedOffer.ts";

export interface UnsavedOffers {
  readonly offer: UnsavedOffer | null;
}

/** What an earlier window could not save: put back, looked at or thrown away, by the person alone. */
export function UnsavedNotice({ session, unsaved }: { session: Session; unsaved: StoreApi<UnsavedOffers> }) {
  const offer = useStore(unsaved, (s) => s.offer);
  const [looking, setLooking] = useState(false);
  const [sure, setSure] = useState(false);
  if (!offer) return null;
  const { fit, late, at } = offer;
  const done = () => unsaved.setState({ offer: null });
  const discard = () => {
    offer.discard();
    done();
  };
  return (
    <section className="main-notices" aria-label="Not saved">
      <div className="notice" data-kind="problem">
        <div>
          <p>{offerWords(fit.length, late.length, clockTime(at))}</p>
          {looking && <Steps session={session} title="To be put back" steps={fit} />}
          {(looking || fit.length === 0) && (
            <Steps session={session} title="Changed since, so not put back" steps={late} />
          )}
        </div>
        {fit.length > 0 && (
          <button
            type="button"
            onClick={() => {
              offer.putBack(session);
              if (late.length === 0) done();
              else unsaved.setState({ offer: { ...offer, fit: [] } });
            }}
          >
            {fit.length === 1 ? "Put it back" : "Put them back"}
          </button>
        )}
        {fit.length > 0 && (
          <button type="button" aria-expanded={looking} onClick={() => setLooking(!looking)}>
            Look
          </button>
        )}
        {sure ? (
          <>
            <button type="button" onClick={discard}>
              Discard for good
            </button>
            <button type="button" onClick={() => setSure(false)}>
              Keep for now
            </button>
          </>
        ) : (
          <button type="button" onClick={() => setSure(true)}>
            Discard
          </button>
        )}
      </div>
    </section>
  );
}

function Steps({
  session,
  title,
  steps,
}: {
  session: Session;
  title: string;
  steps: readonly JournalStep[];
}) {
  const whole = useStore(session, (s) => s.whole);
  if (steps.length === 0) return null;
  return (
    <>
      <p>{title}:</p>
      <ul>
        {steps.map((step, i) => (
          <li key={step.id ?? i}>{stepWords(whole, step)}</li>
        ))}
      </ul>
    </>
  );
}

function offerWords(fit: number, late: number, at: string): string {
  const n = fit + late;
  const changes = n === 1 ? "One change, made at" : `${n} changes, the last at`;
  const first = `${changes} ${at}, ${n === 1 ? "was" : "were"} not saved: the program or the window ended before.`;
  if (late === 0) return `${first} ${n === 1 ? "It is" : "They are"} kept in this browser.`;
  if (fit === 0)
    return `${first} ${n === 1 ? "It is" : "They are"} not put back, because the same was changed since. Do again by hand what still counts.`;
  return `${first} ${fit} can be put back; ${late} can't, because the same was changed since.`;
}
