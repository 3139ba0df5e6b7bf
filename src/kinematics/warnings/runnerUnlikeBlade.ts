import type { Reading, Warning } from "../../reading.ts";
import { K95 } from "../../uncertainty/uncertain.ts";

/** Of a runner measured with a ruler and of where its ends are marked, metres. [judgement] */
const RULER_U = 0.005;
/** Told one time in a hundred by chance. */
const SURE = 2.58;

/** The runner's typed length against what the scale makes of it: the one length in the picture that tells a stretched scale. */
export function runnerUnlikeBlade(runner: Reading, blade: number | undefined): Warning[] {
  if (blade === undefined || runner.value === null) return [];
  const { value, u95 } = runner;
  if (Math.abs(value - blade) <= SURE * Math.hypot(u95 / K95, RULER_U)) return [];
  const share = 100 * (value / blade - 1);
  const cm = (metres: number) => (100 * metres).toFixed(1);
  return [
    {
      code: "runner-unlike-blade",
      text: `The runner comes out ${cm(value)} ± ${cm(u95)} cm long on the ice and is typed as ${cm(blade)} cm. If it is ${cm(blade)} cm, every distance is ${Math.abs(share).toFixed(0)} % too ${share > 0 ? "long" : "short"} (yards taken for metres make them 9 % too long). Check the places of the ice points, and the blade's length under Plan.`,
    },
  ];
}
