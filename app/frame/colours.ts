/** Colours of the drawings on canvas, which cannot read the style sheet. Left and right are Okabe and Ito's sky blue and vermillion. */
export const colours = {
  mark: { left: "#56B4E9", right: "#D55E00" },
  /** Thin dark edge that keeps the sky-blue ring visible on ice. */
  ringEdge: "#0b3a55",
  iceMark: "#0B6E8F",
  accent: "#0B6E8F",
  residual: "#A3195B",
} as const;

/** Canvas text does not inherit; this is the page's own. */
export const CANVAS_FONT = "Inter, system-ui, -apple-system, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif";

export interface Paper {
  readonly ground: string;
  readonly ink: string;
  readonly quiet: string;
  readonly line: string;
  readonly accent: string;
  readonly left: string;
  readonly right: string;
}

/** Ice map and ribbon, by colour scheme; every text colour is at least 4.5 to 1 on its ground. */
export const papers: Record<"light" | "dark", Paper> = {
  light: {
    ground: "#f3f8fb",
    ink: "#14212b",
    quiet: "#51616e",
    line: "#cfdfe8",
    accent: "#0b6e8f",
    left: "#0a6aa6",
    right: "#b84e00",
  },
  dark: {
    ground: "#15232d",
    ink: "#e6eff5",
    quiet: "#a5b7c4",
    line: "#2b404e",
    accent: "#5cc3e3",
    left: "#6cc0ef",
    right: "#ff9a54",
  },
};
