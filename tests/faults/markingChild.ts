/**
 * A program that marks as fast as it can until it is killed: steps and saved files side by side, as a window makes
 * them. It prints the number of each mark once it has been acknowledged.
 */
import { Vault } from "../../electron/vault/Vault.ts";
import { markStep } from "../helpers/markStep.ts";

const [folder = "", first = "1"] = process.argv.slice(2);
const vault = await Vault.open(folder);
const { study, marks, stepsMade } = vault.opened();
let whole = { study, marks };
let made = stepsMade;
let saving: Promise<unknown> = Promise.resolve();
process.stdout.write("open\n");
for (let n = Number(first); ; n++) {
  const trial = n % 3 === 0 ? "t2" : "t1";
  const { step, next } = markStep(whole, trial, n);
  made = (await vault.addSteps({ from: made, steps: [step] })).stepsMade;
  whole = next;
  process.stdout.write(`${n}\n`);
  if (n % 5 !== 0) continue;
  const { marks: now } = whole;
  const after = made;
  saving = saving.then(() => vault.saveMarks(trial, now[trial], after));
}
