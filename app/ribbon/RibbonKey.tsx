/** What the ribbon's shapes mean. */
export function RibbonKey() {
  return (
    <span className="quiet ribbon-key">
      bars: on the ice; arcs: recovery; event frames:
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
  );
}
