import type { ReactNode } from "react";

interface CardProps {
  readonly title: string;
  /** Quiet words beside the title. */
  readonly note?: ReactNode;
  readonly actions?: ReactNode;
  readonly area?: string;
  readonly children: ReactNode;
}

/** A titled panel. `area` is its place in the grid of the page. */
export function Card({ title, note, actions, area, children }: CardProps) {
  return (
    <section className="card place-card" style={area ? { gridArea: area } : undefined} aria-label={title}>
      <header className="place-card-head">
        <h2>{title}</h2>
        {note && <span className="quiet place-card-note">{note}</span>}
        {actions && <span className="place-card-actions">{actions}</span>}
      </header>
      {children}
    </section>
  );
}
