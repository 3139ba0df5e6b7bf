/** How documents are written: indented, so that they can be read and compared by people. */
export function documentText(document: unknown): string {
  return `${JSON.stringify(document, null, 1)}\n`;
}
