/** A dropped file is taken for a clip unless it is plainly a table; the host has the last word. */
export function isVideo(file: File): boolean {
  return !/\.(csv|tsv|txt)$/i.test(file.name) && file.type !== "text/csv";
}

/** Hands the person a text file. */
export function saveText(name: string, text: string): void {
  const url = URL.createObjectURL(new Blob([text], { type: "text/csv;charset=utf-8" }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  URL.revokeObjectURL(url);
}
