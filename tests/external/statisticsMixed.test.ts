import { describe, expect, it } from "vitest";
import { fitMixedModel, type MixedGroup } from "../../src/compare/mixedModel.ts";
import { techniqueModel } from "../../src/compare/techniqueModel.ts";
import { near } from "../helpers/near.ts";
import reference from "../reference/statistics.json" with { type: "json" };

/** Numbers of lme4 1.1-31 and nlme 3.1-162 in tests/reference/statistics.json, made by statistics.R beside it. */

/** One group a subject: intercept and a slope, fixed and at random (or the intercept only). */
function grouped(subject: string[], x: number[], y: number[], slope: boolean): MixedGroup[] {
  return [...new Set(subject)].map((s) => {
    const own = subject.flatMap((name, i) => (name === s ? [i] : []));
    return {
      y: own.map((i) => y[i]!),
      x: own.map((i) => [1, x[i]!]),
      z: own.map((i) => (slope ? [1, x[i]!] : [1])),
    };
  });
}

const intercept = (theta: readonly number[]) => [[theta[0]!]];
const slope = (theta: readonly number[]) => [
  [theta[0]!, 0],
  [theta[1]!, theta[2]!],
];

interface Published {
  readonly beta: number[];
  readonly se: number[];
  readonly sd: number[];
  readonly criterion: number[];
}

/** Fixed effects to 1e-9, what the optimiser finds to 1e-5 relative; lme4's own optimum is no sharper. */
function agrees(groups: MixedGroup[], withSlope: boolean, r: Published): void {
  const fit = withSlope
    ? fitMixedModel(groups, slope, [[1], [0], [1]])
    : fitMixedModel(groups, intercept, [[1]]);
  if (!fit) throw new Error("no fit");
  near(fit.criterion, r.criterion[0]!, 1e-7);
  for (const [k, b] of r.beta.entries()) near(fit.beta[k], b, 1e-9 * Math.abs(b));
  for (const [k, se] of r.se.entries()) near(Math.sqrt(fit.covariance[k]![k]!), se, 1e-5 * se);
  near(fit.sigma, r.sd.at(-1)!, 1e-5 * fit.sigma);
  near(Math.abs(fit.theta[0]!) * fit.sigma, r.sd[0]!, 1e-5 * r.sd[0]!);
  if (withSlope) {
    const [, l21, l22] = fit.theta as [number, number, number];
    near(Math.hypot(l21, l22) * fit.sigma, r.sd[1]!, 1e-5 * r.sd[1]!);
    near((Math.sign(fit.theta[0]!) * l21) / Math.hypot(l21, l22), r.sd[2]!, 1e-4);
  }
}

describe("mixed models by REML", () => {
  it("fits Orthodont (Potthoff & Roy 1964; Pinheiro & Bates 2000) as lme4 does, without and with random slopes", () => {
    const { subject, age, distance, intercept: one, slope: two } = reference.orthodont;
    agrees(grouped(subject, age, distance, false), false, one);
    agrees(grouped(subject, age, distance, true), true, two);
    // docs/references.md 2.10, logLik of nlme
    near(-two.criterion[0]! / 2, -221.318343, 1e-6);
    near(-one.criterion[0]! / 2, -223.501258, 1e-6);
  });

  it("fits sleepstudy (Belenky et al. 2003; Bates et al. 2015, table 4) as lme4 does", () => {
    const { subject, days, reaction, intercept: one, slope: two } = reference.sleepstudy;
    agrees(grouped(subject, days, reaction, false), false, one);
    agrees(grouped(subject, days, reaction, true), true, two);
  });
});

type Nested = typeof reference.nested;

function fitted(d: Nested, withPlace: boolean) {
  const skaters = [...new Set(d.skater)].map((skater) => ({
    skater,
    cells: ["a", "b"].map((tech) =>
      d.skater.flatMap((s, i) =>
        s === skater && d.tech[i] === tech ? [{ place: d.place[i]!, value: d.time[i]! }] : [],
      ),
    ),
  }));
  const model = techniqueModel(skaters, withPlace);
  if (model.value === null) throw new Error(model.why);
  return model;
}

describe("skater and skater by technique", () => {
  it.each([
    ["every cell filled", reference.nested, false],
    ["with a change from trial to trial", reference.nestedPlace, true],
    ["with holes and two skaters with one technique only", reference.holed, false],
    ["with holes and a change from trial to trial", reference.holedPlace, true],
  ])("agrees with lme4 and nlme: %s", (_, r, withPlace) => {
    const model = fitted(r, withPlace);
    near(model.value, r.difference[0]!, 1e-6);
    near(model.standardError, r.se[0]!, 1e-5 * r.se[0]!);
    near(model.standardError, r.nlmeSe[0]!, 1e-5 * r.nlmeSe[0]!);
    expect(model.df).toBe(r.df[0]);
    near(model.sdSkater, r.sdSkater[0]!, 1e-5);
    near(model.sdSkaterByTechnique, r.sdSkaterByTechnique[0]!, 1e-5);
    near(model.sdTrial, r.sdTrial[0]!, 1e-6);
    near(model.criterion, r.criterion[0]!, 1e-7);
    near(-model.criterion / 2, r.nlmeLogLik[0]!, 1e-7);
  });

  // Analysis of variance of the balanced design: variances 0.000525, 0.000270138889, 0.033013888...; F = 19.221529.
  it("gives the variances and F of the analysis of variance where the design is balanced", () => {
    const model = fitted(reference.nested, false);
    near(model.sdTrial ** 2, 0.000525, 1e-10);
    near(model.sdSkaterByTechnique! ** 2, 0.000270138889, 1e-9);
    near(model.sdSkater ** 2, 0.033013889, 1e-6);
    near((model.value / model.standardError) ** 2, 19.221529, 1e-4);
    near(model.p, 0.003217852887, 1e-7);
  });

  // Random intercept and pairs: the paired t itself. Student's sleep data, docs/references.md 2.1.
  it("is the paired t where nothing was repeated", () => {
    const a = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
    const b = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];
    const model = techniqueModel(
      a.map((value, i) => ({
        skater: `${i}`,
        cells: [[{ place: 1, value }], [{ place: 2, value: b[i]! }]],
      })),
    );
    if (model.value === null) throw new Error(model.why);
    near(model.value, 1.58, 1e-9);
    near(model.standardError, 0.388959, 1e-6);
    expect(model.df).toBe(9);
    expect(model.sdSkaterByTechnique).toBeNull();
  });
});
