import type { Body, Lens } from "../../src/study/types.ts";
import { UsageError } from "./Command.ts";
import { numberOption, wholeOption } from "./options.ts";

/** `1920x1080` @throws {UsageError} */
export function pictureOption(text: string): { width: number; height: number } {
  const match = /^(\d{1,5})x(\d{1,5})$/i.exec(text);
  const [width, height] = [Number(match?.[1]), Number(match?.[2])];
  if (width > 0 && height > 0) return { width, height };
  throw new UsageError(`--picture needs WIDTHxHEIGHT in pixels, e.g. 1920x1080, not "${text}".`);
}

const BODY = {
  hip_height: "hipHeight",
  upper_arm: "upperArm",
  forearm: "forearm",
  stature: "stature",
  blade: "blade",
} as const;

/** `hip_height=0.80,stature=1.75`, metres, any subset. @throws {UsageError} */
export function bodyOption(text: string): Body {
  const body: Record<string, number> = {};
  for (const part of text.split(",")) {
    const [name = "", value = "", ...rest] = part.split("=").map((s) => s.trim());
    if (!Object.hasOwn(BODY, name) || rest.length > 0) {
      throw new UsageError(
        `--body knows ${Object.keys(BODY).join(", ")}, each as name=metres; not "${part}".`,
      );
    }
    const key = BODY[name as keyof typeof BODY];
    if (key in body) throw new UsageError(`--body gives ${name} twice.`);
    const metres = numberOption(`--body ${name}`, value);
    if (!(metres > 0 && metres < 3)) {
      throw new UsageError(`--body ${name} needs metres, more than 0 and less than 3; not "${value}".`);
    }
    body[key] = metres;
  }
  return body;
}

/** `k1[,k2]` @throws {UsageError} */
export function lensOption(text: string): Lens {
  const [k1, k2, ...rest] = text.split(",");
  if (rest.length > 0) throw new UsageError(`--lens needs k1 or k1,k2; not "${text}".`);
  const first = numberOption("--lens k1", k1 ?? "");
  return k2 === undefined ? { k1: first } : { k1: first, k2: numberOption("--lens k2", k2) };
}

/** `X0,X1`, metres along the lane. @throws {UsageError} */
export function gatesOption(text: string): [number, number] {
  const parts = text.split(",");
  if (parts.length !== 2)
    throw new UsageError(`--gates needs two places along the lane, X0,X1; not "${text}".`);
  const [from, to] = parts.map((p) => numberOption("--gates", p)) as [number, number];
  if (to > from) return [from, to];
  throw new UsageError(`--gates needs the first gate first; ${to} m is not beyond ${from} m.`);
}

/** A number above 0. @throws {UsageError} */
export function positiveOption(name: string, text: string): number {
  const value = numberOption(name, text);
  if (value > 0) return value;
  throw new UsageError(`${name} needs a number above 0, not "${text}".`);
}

/** A number from 0 to 1. @throws {UsageError} */
export function shareOption(name: string, text: string): number {
  const value = numberOption(name, text);
  if (value >= 0 && value <= 1) return value;
  throw new UsageError(`${name} needs a number from 0 to 1, not "${text}".`);
}

/** Null without one: then no random numbers are drawn. @throws {UsageError} */
export function seedOption(text: string | undefined): number | null {
  return text === undefined ? null : wholeOption("--seed", text);
}
