import { MeasureError } from "../../src/errors.ts";

/** On every answer: nothing is guessed, framed, or loaded from elsewhere. */
const ALWAYS = {
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cross-origin-resource-policy": "same-origin",
} as const;

/** Inline styles are what the component library sets; blob: and data: are the window's own pictures. */
export const WINDOW_POLICY = [
  "default-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "worker-src 'self' blob:",
  "connect-src 'self'",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

export function reply(body: BodyInit | null, status: number, headers: Record<string, string> = {}): Response {
  return new Response(body, { status, headers: { ...ALWAYS, "cache-control": "no-store", ...headers } });
}

export function json(value: unknown, status = 200): Response {
  return reply(JSON.stringify(value), status, { "content-type": "application/json; charset=utf-8" });
}

export function nothing(): Response {
  return reply(null, 204);
}

/** A sentence for the coach and a code for programs. */
export function refusal(status: number, code: string, error: string): Response {
  return json({ error, code }, status);
}

const STATUS: Readonly<Record<string, number>> = {
  "read-only": 409,
  "too-large": 413,
  "not-json": 415,
  "disk-full": 507,
  "not-saved": 507,
  "unknown-clip": 404,
  "link-differs": 409,
};

/** Every failure has an answer; what is not a MeasureError is a bug and also goes to the terminal. */
export function failure(error: unknown): Response {
  if (error instanceof MeasureError) return refusal(STATUS[error.code] ?? 400, error.code, error.coach);
  console.error(error);
  const message = error instanceof Error ? error.message : String(error);
  return refusal(
    500,
    "bug",
    `Something went wrong inside Blademark: ${message}. Nothing you did is lost; try again.`,
  );
}
