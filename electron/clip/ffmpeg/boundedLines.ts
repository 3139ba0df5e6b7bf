import type { Readable } from "node:stream";

/** Longer lines are cut: what ffmpeg says to us is short, and what it repeats from a file can be as long as the file. */
const LONGEST = 4096;

/**
 * Hands on the lines of a stream, ended by a line feed and nothing else: what counts as the end of a line elsewhere (a
 * carriage return, Unicode's separators) may come from a text inside a clip.
 *
 * @returns resolves when the stream has ended and its last line was handed on
 */
export function boundedLines(stream: Readable, line: (text: string) => void): Promise<void> {
  let parts: Buffer[] = [];
  let length = 0;
  const keep = (part: Buffer) => {
    const room = LONGEST - length;
    if (room > 0 && part.length > 0) parts.push(part.subarray(0, room));
    length += part.length;
  };
  const end = () => {
    const text = Buffer.concat(parts).toString("utf8");
    parts = [];
    length = 0;
    // Windows ends its lines with both.
    line(text.endsWith("\r") ? text.slice(0, -1) : text);
  };
  stream.on("data", (chunk: Buffer) => {
    let from = 0;
    for (let at = chunk.indexOf(10); at >= 0; at = chunk.indexOf(10, from)) {
      keep(chunk.subarray(from, at));
      end();
      from = at + 1;
    }
    keep(chunk.subarray(from));
  });
  return new Promise((resolve) => {
    const over = () => {
      if (length > 0) end();
      resolve();
    };
    stream.once("close", over);
    stream.once("error", over);
  });
}

/** A text from a clip or about it as it may be shown anywhere: nothing in it moves a cursor, turns the writing or ends a line. */
export function plainText(text: string, longest = 200): string {
  const plain = text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]+/gu, " ");
  return plain.length > longest ? `${plain.slice(0, longest)} ...` : plain;
}
