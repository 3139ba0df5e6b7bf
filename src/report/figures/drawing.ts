/**
 * A document to draw in: the window's own (absent), or one made for the purpose where there is no window. The core
 * has no DOM; it only hands this on to the chart library.
 */
// biome-ignore lint/suspicious/noExplicitAny: the library's own type for it is the DOM's Document, which src does not have.
export type DrawingDocument = any;

/** What the chart library draws: an element of that document. */
export interface Drawing {
  readonly outerHTML: string;
}
