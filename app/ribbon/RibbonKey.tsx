/** What the ribbon's shapes mean. */
export function RibbonKey({ speedFactor }: { speedFactor: number }) {
  return (
    <div className="ribbon-key">
      <h2>Stride ribbon</h2>
      <span className="quiet">bars: blade on the ice; arcs: recovery</span>
      <span className="quiet ribbon-key-right">
        event frames:
        <svg width="14" height="12" aria-hidden="true">
          <path className="ribbon-mark" d="M 7 1 l 5.5 9 h -11 Z" />
        </svg>
        marked
        <svg width="14" height="12" aria-hidden="true">
          <path className="ribbon-mark open" d="M 7 1 l 5.5 9 h -11 Z" />
        </svg>
        suggested
        <svg width="14" height="12" aria-hidden="true">
          <path className="ribbon-mark" d="M 7 1 l 5 5 l -5 5 l -5 -5 Z" />
        </svg>
        nearest the midline
      </span>
      {speedFactor !== 1 && (
        <span className="care">axis in real seconds: clip time divided by {speedFactor}</span>
      )}
    </div>
  );
}
