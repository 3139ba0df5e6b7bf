import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { FFMPEG } from "./paintedClip.ts";

/**
 * A small clip with a sound of its own, made by ffmpeg: grey pictures, 30 a second.
 *
 * @param late seconds by which the sound begins after the pictures; negative = before them
 */
export function soundedClip(file: string, track: SoundTrack | null, { seconds = 20, late = 0 } = {}): string {
  const [before, after] = [Math.max(0, -late), Math.max(0, late)];
  const pictures = ["-itsoffset", `${before}`, "-f", "lavfi", "-i", `color=gray:s=64x48:r=30:d=${seconds}`];
  const sound = track === null ? [] : ["-itsoffset", `${after}`, ...rawInput(`${file}.pcm`, track)];
  const coded = track === null ? [] : ["-map", "1:a", "-c:a", "aac", "-b:a", "96k"];
  execFileSync(FFMPEG, [
    ...["-loglevel", "error", "-y", ...pictures, ...sound],
    ...["-map", "0:v", "-c:v", "mpeg4", ...coded, "-copyts", "-avoid_negative_ts", "disabled", file],
  ]);
  return file;
}

function rawInput(path: string, { rate, samples }: SoundTrack): string[] {
  writeFileSync(path, new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength));
  return ["-f", "s16le", "-ar", `${rate}`, "-ac", "1", "-i", path];
}
