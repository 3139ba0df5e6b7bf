import type { ReactNode } from "react";

interface Props {
  readonly title: ReactNode;
  readonly hint: ReactNode;
  /** Why nothing can be done on this frame yet, or what the keys do just now: said in place of the hint. */
  readonly notice: ReactNode;
  /** The buttons that answer, each with its key. */
  readonly answers?: ReactNode;
  /** What is seldom changed, and what is done on this frame. */
  readonly foot?: ReactNode;
}

/**
 * What is asked for, under the picture and never on it. Its height is its own whatever it says, so that the picture
 * stays where it is while one marks.
 */
export function AskStrip({ title, hint, notice, answers, foot }: Props) {
  return (
    <section className="card ask" aria-label="What to do next">
      <div className="ask-question" aria-live="polite">
        <h2>{title}</h2>
        <p className={notice === null ? undefined : "care"}>{notice ?? hint}</p>
      </div>
      <div className="ask-answers">{answers}</div>
      <div className="ask-foot">{foot}</div>
    </section>
  );
}

/** The key that does the same as a button, on the button. */
export function Key({ children }: { children: string }) {
  return (
    <span className="key" aria-hidden="true">
      {children}
    </span>
  );
}
