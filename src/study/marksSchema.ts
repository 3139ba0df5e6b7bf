/** What a marks file must hold, checked when it is opened; `schema.ts` says what becomes of fields we do not know. */
import { z } from "zod";
import { EVENT_NAMES } from "./names.ts";
import { type Fields, frame, id, point, positive, seconds, side, whole } from "./schemaWords.ts";
import type {
  ClipMotion,
  EventFrame,
  FramePoints,
  GatePassing,
  IcePoint,
  IceRecheck,
  IceReference,
  KeptSound,
  KnownLength,
  LearnedBend,
  Lens,
  Mark,
  MarkedPicture,
  NotSeen,
  StraightLine,
  SuggestedEvent,
  SuggestedMark,
  TrialMarks,
} from "./types.ts";

const origin = z.enum(["hand", "accepted", "moved"]);

const mark = z.looseObject({
  frame,
  time: seconds,
  point,
  side,
  xPx: z.number(),
  yPx: z.number(),
  uPx: positive.optional(),
  observer: z.string().optional(),
  pass: z.number().int("must be a whole number").optional(),
  from: origin.optional(),
  suggested: z
    .looseObject({
      xPx: z.number(),
      yPx: z.number(),
      uPx: positive,
      by: z.enum(["pose", "template"]),
      model: z.string(),
      templates: z.array(frame),
      blind: z.boolean().optional(),
    } satisfies Fields<SuggestedMark>)
    .optional(),
} satisfies Fields<Mark>);

const eventFrame = z.looseObject({
  event: z.enum(EVENT_NAMES),
  side,
  frame,
  time: seconds,
  elbowTowardCamera: z.boolean().optional(),
  wristTowardCamera: z.boolean().optional(),
  carried: z.array(z.enum(["elbow", "wrist"])).optional(),
  from: origin.optional(),
  suggested: z
    .looseObject({
      frame,
      sdFrames: positive,
      model: z.string(),
      blind: z.boolean().optional(),
    } satisfies Fields<SuggestedEvent>)
    .optional(),
} satisfies Fields<EventFrame>);

const icePoint = z.looseObject({
  label: z.string(),
  xPx: z.number(),
  yPx: z.number(),
  x: z.number(),
  y: z.number(),
  uPx: positive.optional(),
  u: z.number().nonnegative("must not be negative").optional(),
  frame: frame.optional(),
} satisfies Fields<IcePoint>);
export const icePlace = icePoint.pick({ label: true, x: true, y: true, u: true });

const knownLength = z.looseObject({
  x1Px: z.number(),
  y1Px: z.number(),
  x2Px: z.number(),
  y2Px: z.number(),
  length: positive,
  frame: frame.optional(),
  u: z.number().nonnegative("must not be negative").optional(),
} satisfies Fields<KnownLength>);

export const lens = z.looseObject({ k1: z.number(), k2: z.number().optional() } satisfies Fields<Lens>);

const iceReference = z.discriminatedUnion("kind", [
  z.looseObject({
    kind: z.literal("ice-points"),
    points: z.array(icePoint),
    lens: lens.optional(),
    copiedFrom: id.optional(),
    rechecks: z
      .array(
        z.looseObject({
          frame,
          label: z.string(),
          xPx: z.number(),
          yPx: z.number(),
        } satisfies Fields<IceRecheck>),
      )
      .optional(),
  } satisfies Fields<Extract<IceReference, { kind: "ice-points" }>>),
  z.looseObject({
    kind: z.literal("ice-points-by-frame"),
    frames: z.array(
      z.looseObject({ frame, points: z.array(icePoint.omit({ frame: true })) } satisfies Fields<FramePoints>),
    ),
    lens: lens.optional(),
    readoutShare: z.number().min(0, "must be from 0 to 1").max(1, "must be from 0 to 1").optional(),
    copiedFrom: id.optional(),
  } satisfies Fields<Extract<IceReference, { kind: "ice-points-by-frame" }>>),
  z.looseObject({
    kind: z.literal("known-lengths"),
    lengths: z.array(knownLength),
    copiedFrom: id.optional(),
  } satisfies Fields<Extract<IceReference, { kind: "known-lengths" }>>),
]);

const clipMotion = z.looseObject({
  clip: id,
  still: z.boolean().nullable(),
  noisePx: positive.nullable(),
  first: frame,
  frames: z.array(z.array(z.number()).length(10).nullable()),
  bumps: z.array(z.looseObject({ frame, dxPx: z.number(), dyPx: z.number() })),
  bend: z
    .looseObject({
      second: z.number(),
      fourth: z.number(),
      drift: z.number().nonnegative(),
    } satisfies Fields<LearnedBend>)
    .optional(),
} satisfies Fields<ClipMotion>);

const keptSound = z.looseObject({
  clip: id,
  with: id,
  lag: z
    .looseObject({
      offset: z.number(),
      sd: positive,
      at: z.number(),
      overlap: positive,
      rate: z.looseObject({ value: positive, sd: positive, seconds: positive }).nullable(),
    } satisfies Fields<NonNullable<KeptSound["lag"]>>)
    .nullable(),
  why: z.string().optional(),
} satisfies Fields<KeptSound>);

const straightLine = z.looseObject({
  points: z.array(z.looseObject({ xPx: z.number(), yPx: z.number() })),
  frame: frame.optional(),
} satisfies Fields<StraightLine>);

export const trialMarks = z.looseObject({
  format: z.literal("blademark.marks"),
  version: z.literal(1),
  trial: id,
  picture: z
    .looseObject({
      clip: id,
      width: whole,
      height: whole,
      frameInterval: positive,
    } satisfies Fields<MarkedPicture>)
    .nullable(),
  iceReference: iceReference.nullable(),
  straightLines: z.array(straightLine).optional(),
  events: z.array(eventFrame),
  marks: z.array(mark),
  notSeen: z.array(z.looseObject({ frame, point, side } satisfies Fields<NotSeen>)).optional(),
  gatePassings: z
    .array(
      z.looseObject({
        gate: z.number(),
        frame,
        time: seconds,
        share: z.number().min(0).max(1).optional(),
      } satisfies Fields<GatePassing>),
    )
    .optional(),
  motion: clipMotion.optional(),
  sound: keptSound.optional(),
} satisfies Fields<TrialMarks>);
