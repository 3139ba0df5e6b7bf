import { z } from "zod";
import { POINT_NAMES, SIDES } from "./names.ts";

/** A schema for each field of `T` and for no other: a field that is left out here does not compile. */
export type Fields<T> = { readonly [K in keyof T]-?: z.ZodType };

export const id = z.string().min(1, "must not be empty");
export const seconds = z.number().nonnegative("must not be negative");
export const positive = z.number().positive("must be more than 0");
export const frame = z.number().int("must be a whole number").nonnegative("must not be negative");
export const whole = z.number().int("must be a whole number").positive("must be 1 or more");
export const side = z.enum(SIDES);
export const point = z.enum(POINT_NAMES);
