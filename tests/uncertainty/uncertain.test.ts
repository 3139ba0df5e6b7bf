import { describe, expect, it } from "vitest";
import {
  covariance,
  derive,
  deriveOne,
  exactly,
  fromParts,
  Sources,
  weightedSum,
} from "../../src/uncertainty/uncertain.ts";

describe("linear propagation", () => {
  it("reproduces the GUM's end gauge", () => {
    // JCGM 100:2008 H.1, docs/references.md 3.1 [computed: scipy]: uc 31.663 879 nm from u 25, 9.681 942, 2.886 787 (dth), 16.599 027 (da)
    const s = new Sources();
    const length = deriveOne(
      (ls, d, da, th, as, dth) => ls + d - ls * (da * th + as * dth),
      [
        s.add(50_000_623, 25),
        s.add(215, 9.681942),
        s.add(0, 1e-6 / Math.sqrt(3)),
        s.add(-0.1, 0.41),
        s.add(11.5e-6, 1.2e-6),
        s.add(0, 0.05 / Math.sqrt(3)),
      ],
    );
    expect(length.value).toBeCloseTo(50_000_838, 6);
    // The end gauge's own da term is 0.1 × 50 mm × u(da) = 2.886 787, the dth term 11.5e-6 × 50 mm × u(dth) = 16.599 027
    expect(length.u).toBeCloseTo(31.663879, 4);
  });

  it("carries correlation: resistance and reactance", () => {
    // JCGM 100:2008 H.2, docs/references.md 3.2 [computed: numpy]; ignoring correlation would give 0.1945, 0.2009, 0.2041
    const volts = [5.007, 4.994, 5.005, 4.99, 4.999];
    const amps = [19.663, 19.639, 19.64, 19.685, 19.678].map((mA) => mA / 1000);
    const radians = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
    const mean = (v: readonly number[]) => v.reduce((a, b) => a + b, 0) / v.length;
    // Five simultaneous readings are five shared causes.
    const reading = (v: readonly number[]) =>
      fromParts(
        mean(v),
        [0, 1, 2, 3, 4],
        v.map((x) => (x - mean(v)) / Math.sqrt(20)),
      );
    const [r, x, z] = derive(
      (v, i, phi) => [(v! / i!) * Math.cos(phi!), (v! / i!) * Math.sin(phi!), v! / i!],
      [reading(volts), reading(amps), reading(radians)],
    );
    expect(r!.value).toBeCloseTo(127.73216993, 7);
    expect(x!.value).toBeCloseTo(219.84651191, 7);
    expect(z!.value).toBeCloseTo(254.25970195, 7);
    expect(r!.u).toBeCloseTo(0.07107141, 7);
    expect(x!.u).toBeCloseTo(0.29558168, 7);
    expect(z!.u).toBeCloseTo(0.23633613, 7);
    expect(covariance(r!, x!) / r!.u / x!.u).toBeCloseTo(-0.58842978, 6);
    expect(covariance(r!, z!) / r!.u / z!.u).toBeCloseTo(-0.48525922, 6);
    expect(covariance(x!, z!) / x!.u / z!.u).toBeCloseTo(0.99251165, 6);
  });

  it.each([
    [60, 1.35],
    [120, 0.675],
    [180, 0.45],
  ])("gives the angle of a segment %i px long to %f degrees", (length, degrees) => {
    // docs/references.md 3.4 [computed]: u(theta) = sqrt(2) u / L; 1.350, 0.675, 0.450 deg at 1 px
    const s = new Sources();
    const [x0, y0, x1, y1] = [s.add(100, 1), s.add(50, 1), s.add(100 + length, 1), s.add(50, 1)];
    const angle = deriveOne((ax, ay, bx, by) => Math.atan2(by - ay, bx - ax), [x0, y0, x1, y1]);
    expect((angle.u * 180) / Math.PI).toBeCloseTo(degrees, 3);
  });

  it("cancels what two results share", () => {
    const s = new Sources();
    const [a, shared] = [s.add(1, 0.3), s.add(10, 4)];
    const one = weightedSum([
      [1, a],
      [2, shared],
    ]);
    const difference = weightedSum([
      [1, one],
      [-2, shared],
    ]);
    expect(difference.u).toBeCloseTo(0.3, 12);
    expect(exactly(3).u).toBe(0);
  });

  it("keeps sums apart when there are more sources than it first had room for", () => {
    const s = new Sources();
    const many = Array.from({ length: 5000 }, () => s.add(0, 0.1));
    const sum = weightedSum(many.map((term) => [1, term]));
    expect(sum.u).toBeCloseTo(0.1 * Math.sqrt(5000), 9); // √n rule
    expect(weightedSum([[1, many[4999]!]]).u).toBeCloseTo(0.1, 12);
  });

  it("can follow the spread where a root makes the tangent endless", () => {
    const s = new Sources();
    const root = (x: number) => [Math.sqrt(Math.max(0, x))];
    // By hand: √4 = 2 at one SD, √8 at two, 0 on the other side: √((2² + 8/4) / 4)
    expect(derive(root, [s.add(0, 4)], "spread")[0]!.u).toBeCloseTo(Math.sqrt(1.5), 12);
    // Of a straight line it is the tangent, sign and all.
    const [line] = derive((x) => [3 - 2 * x!], [s.add(1, 0.5)], "spread");
    const [same] = derive((x) => [3 - 2 * x!], [s.add(1, 0.5)]);
    expect(line!.u).toBeCloseTo(same!.u, 9);
    const x = s.add(1, 0.5);
    const [down] = derive((v) => [-v!], [x], "spread");
    expect(covariance(down!, x)).toBeCloseTo(-0.25, 12);
  });
});
