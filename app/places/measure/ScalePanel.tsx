import type { Measuring } from "./useMeasure.ts";

export function ScalePanel({ m: _ }: { m: Measuring }) {
  return <section className="card scale-panel" />;
}
