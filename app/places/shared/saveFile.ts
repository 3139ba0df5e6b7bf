/** Hands a file to the browser's own saving. */
export function saveFile(name: string, content: string | Blob, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  // The browser reads it after the click; a minute is plenty.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
