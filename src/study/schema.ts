/**
 * What a study file must hold, checked when it is opened. Fields we do not know are kept,
 * so that a file written by a later 1.x of ours, or added to by hand, loses nothing when it is saved again.
 */
import { z } from "zod";
import { QUANTITIES } from "../quantities/catalogue.ts";
import { COMPARE_QUANTITIES } from "../quantities/compared.ts";
import { lens } from "./marksSchema.ts";
import { type Fields, frame, id, positive, whole } from "./schemaWords.ts";
import type {
  Band,
  Body,
  CameraPlan,
  CameraSetup,
  ClipLink,
  Conditions,
  Lane,
  LanePlacement,
  LikeClip,
  LockedPlan,
  Plan,
  PlanChange,
  PlanContent,
  SetupTrial,
  Skater,
  Study,
  Technique,
  Trial,
  TrialClip,
} from "./types.ts";

const quantity = z.enum(QUANTITIES);
const compared = z.enum(COMPARE_QUANTITIES);
export const lane = z.looseObject({
  /** 0 = not said yet. */
  distance: z.number().nonnegative("must not be negative"),
  unit: z.enum(["m", "ft"]),
  gates: z.array(z.number()),
  gateBeam: z.enum(["single", "dual", "not said"]),
  start: z.enum(["standing", "flying", "not said"]),
  placement: z
    .looseObject({
      rink: z.string(),
      startX: z.number(),
      startY: z.number(),
      headingDeg: z.number(),
    } satisfies Fields<LanePlacement>)
    .optional(),
} satisfies Fields<Lane>);

export const skater = z.looseObject({
  id,
  name: z.string(),
  code: z.string(),
  body: z.looseObject({
    hipHeight: positive.optional(),
    upperArm: positive.optional(),
    forearm: positive.optional(),
    stature: positive.optional(),
    blade: positive.optional(),
  } satisfies Fields<Body>),
} satisfies Fields<Skater>);

const band = z.looseObject({
  quantity,
  min: z.number().optional(),
  max: z.number().optional(),
} satisfies Fields<Band>);

export const technique = z.looseObject({
  id,
  name: z.string(),
  asked: z.array(band),
} satisfies Fields<Technique>);

const trialClip = z
  .looseObject({
    clip: id,
    role: z.enum(["view", "clock", "look"]),
    id: id.optional(),
    speedFactor: positive.optional(),
    frame: frame.optional(),
    shows: positive.optional(),
  } satisfies Fields<TrialClip>)
  .refine((one) => one.role !== "view" || one.id !== undefined, "a view needs an id, which names its marks");

const trial = z.looseObject({
  id,
  skater: id,
  technique: id,
  repeat: whole,
  order: whole,
  // No trial takes a day; the square of a much larger number is none.
  time: positive.lt(86400, "must be less than a day, in seconds").nullable(),
  timedBy: z.literal("clip").optional(),
  valid: z.boolean(),
  note: z.string().optional(),
  clip: z.string().optional(),
  clips: z.array(trialClip).optional(),
  speedFactor: positive,
} satisfies Fields<Trial>);

const clipLink = z.looseObject({
  id,
  name: z.string(),
  path: z.string(),
  bytes: z.number().nonnegative("must not be negative"),
  sha256: z.string().optional(),
  part: z
    .looseObject({ first: frame, last: frame } satisfies Fields<NonNullable<ClipLink["part"]>>)
    .refine((part) => part.last >= part.first, "must not end before it begins")
    .optional(),
  turn: z.union([z.literal(90), z.literal(180), z.literal(270)]).optional(),
} satisfies Fields<ClipLink>);

export const cameraPlan = z.looseObject({
  x: z.number(),
  y: z.number(),
  height: positive,
  aimX: z.number(),
  aimY: z.number(),
  hfovDeg: positive,
  widthPx: positive,
  heightPx: positive,
  fps: positive,
} satisfies Fields<CameraPlan>);

const conditions = z.looseObject({
  ice: z.string().optional(),
  airC: z.number().optional(),
  blades: z.string().optional(),
  stick: z.string().optional(),
  timedBy: z.string().optional(),
} satisfies Fields<Conditions>);

const planContent = z.looseObject({
  question: z.string(),
  techniques: z.array(
    z.looseObject({ name: z.string(), asked: z.array(band) } satisfies Fields<
      PlanContent["techniques"][number]
    >),
  ),
  compared: z
    .looseObject({ a: z.string(), b: z.string() } satisfies Fields<NonNullable<PlanContent["compared"]>>)
    .nullable(),
  quantity: compared,
  worthwhile: positive.nullable(),
  saidBy: z.string(),
  skaters: z.array(z.string()),
  trials: z.number().int("must be a whole number").nonnegative("must not be negative"),
  stopWhen: z.string(),
} satisfies Fields<PlanContent>);

const planChange = z.looseObject({
  part: z.enum([
    "question",
    "techniques",
    "compared",
    "quantity",
    "worthwhile",
    "saidBy",
    "skaters",
    "trials",
    "stopWhen",
  ]),
  from: z.unknown(),
  to: z.unknown(),
  afterTrials: z.number().int("must be a whole number").nonnegative("must not be negative"),
  date: z.string(),
} satisfies Fields<PlanChange>);

const plan = z.looseObject({
  quantity: compared.optional(),
  saidBy: z.string().optional(),
  stopWhen: z.string().optional(),
  locked: z
    .looseObject({
      date: z.string(),
      content: planContent,
      hash: z.string(),
      changes: z.array(planChange),
    } satisfies Fields<LockedPlan>)
    .optional(),
} satisfies Fields<Plan>);

const setup = z.looseObject({
  id,
  name: z.string(),
  camera: z.string().optional(),
  lens: lens.optional(),
  trials: z.array(
    z.looseObject({
      trial: id,
      like: z
        .looseObject({
          trial: id,
          by: z.enum(["said", "looked", "background"]),
          dxPx: z.number().optional(),
          dyPx: z.number().optional(),
          turnDeg: z.number().optional(),
          uPx: positive.optional(),
        } satisfies Fields<LikeClip>)
        .optional(),
    } satisfies Fields<SetupTrial>),
  ),
} satisfies Fields<CameraSetup>);

export const study = z.looseObject({
  format: z.literal("blademark.study"),
  version: z.literal(1),
  question: z.string(),
  lane,
  skaters: z.array(skater),
  techniques: z.array(technique),
  trials: z.array(trial),
  clips: z.array(clipLink),
  markSdPx: positive,
  worthwhile: positive.nullable(),
  compare: z
    .looseObject({ a: z.string(), b: z.string() } satisfies Fields<NonNullable<Study["compare"]>>)
    .nullable(),
  runOrder: z
    .looseObject({ seed: z.number().int("must be a whole number"), repeats: whole } satisfies Fields<
      NonNullable<Study["runOrder"]>
    >)
    .optional(),
  cameraPlan: cameraPlan.optional(),
  secondCamera: cameraPlan.optional(),
  markingDepth: z.enum(["width", "recovery", "arms", "everything"]).optional(),
  date: z.string().optional(),
  conditions: conditions.optional(),
  plan: plan.optional(),
  setups: z.array(setup).optional(),
} satisfies Fields<Study>);
