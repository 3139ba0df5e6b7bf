import type { Trial } from "../../../src/study/types.ts";

interface Props {
  readonly rows: readonly Trial[];
  readonly skaters: ReadonlyMap<string, string>;
  readonly techniques: ReadonlyMap<string, string>;
}

/** The trials in the order they are skated. */
export function OrderTable({ rows, skaters, techniques }: Props) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a list that scrolls must do so by keyboard too
    <section className="order-scroll" aria-label="Trials in order" tabIndex={0}>
      <table className="sheet">
        <thead>
          <tr>
            <th>No.</th>
            <th>Skater</th>
            <th>Technique</th>
            <th>Trial</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((t) => (
            <tr key={t.id}>
              <td className="number">{t.order}</td>
              <td>{skaters.get(t.skater)}</td>
              <td>{techniques.get(t.technique)}</td>
              <td className="number">{t.repeat}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
