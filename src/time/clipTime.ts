/** Moments of a clip as people type and read them, seconds from its first frame on: "1:41", "1:41.5", "95 s", "95,5". */
import { MeasureError } from "../errors.ts";

const CLOCK = /^(?:(\d+):)?(\d+):(\d{1,2}(?:[.,]\d*)?)$/;
const SECONDS = /^(\d+(?:[.,]\d*)?|[.,]\d+)\s*(?:s|sec|seconds)?$/i;

/**
 * @returns seconds
 * @throws {MeasureError} `bad-clip-time`
 * @example readClipTime("1:41,5") // 101.5
 */
export function readClipTime(text: string): number {
  const typed = text.trim();
  const number = (part: string | undefined) => Number((part ?? "0").replace(",", "."));
  const plain = SECONDS.exec(typed);
  if (plain) return number(plain[1]);
  const clock = CLOCK.exec(typed);
  const [hours, minutes, seconds] = [number(clock?.[1]), number(clock?.[2]), number(clock?.[3])];
  if (clock && seconds < 60 && (clock[1] === undefined || minutes < 60))
    return 3600 * hours + 60 * minutes + seconds;
  throw new MeasureError(
    "bad-clip-time",
    `readClipTime got "${text}"`,
    `"${typed.slice(0, 30)}" is no time of the clip. Type minutes and seconds like 1:41, or seconds like 95 s.`,
    { text },
  );
}

/** "1:41", "0:07.25", "1:02:03": minutes and seconds, to a hundredth where there is one. */
export function clipTimeText(seconds: number): string {
  const hundredths = Math.round(Math.max(0, seconds) * 100);
  const whole = Math.floor(hundredths / 100);
  const rest = hundredths % 100;
  const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (n: number) => String(n).padStart(2, "0");
  const fraction = rest === 0 ? "" : `.${two(rest).replace(/0$/, "")}`;
  return `${h > 0 ? `${h}:${two(m)}` : m}:${two(s)}${fraction}`;
}
