/**
 * What a film is drawn with: as much of a canvas's 2-D context as is needed, so that the window and the command line
 * draw with the same code. Colours, fonts and the like are strings, as there.
 */
export interface Pen<Picture> {
  fillStyle: unknown;
  strokeStyle: unknown;
  lineWidth: number;
  lineJoin: unknown;
  lineCap: unknown;
  font: string;
  textAlign: unknown;
  textBaseline: unknown;
  imageSmoothingEnabled: boolean;
  imageSmoothingQuality: unknown;
  save(): void;
  restore(): void;
  translate(x: number, y: number): void;
  scale(x: number, y: number): void;
  beginPath(): void;
  moveTo(x: number, y: number): void;
  lineTo(x: number, y: number): void;
  rect(x: number, y: number, width: number, height: number): void;
  arc(x: number, y: number, radius: number, from: number, to: number): void;
  clip(rule?: "evenodd"): void;
  fill(): void;
  stroke(): void;
  fillRect(x: number, y: number, width: number, height: number): void;
  fillText(text: string, x: number, y: number): void;
  strokeText(text: string, x: number, y: number): void;
  measureText(text: string): { readonly width: number };
  drawImage(picture: Picture, x: number, y: number, width: number, height: number): void;
}
