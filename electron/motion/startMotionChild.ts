import { fork } from "node:child_process";
import { constants, setPriority } from "node:os";
import { join } from "node:path";
import { packageRoot } from "../packageRoot.ts";

/** A process of its own at the lowest priority for what is looked for in pictures, so that neither stepping nor saving waits for it. */
export function startMotionChild() {
  const child = fork(join(packageRoot(), "dist", "electron", "motionChild.js"), {
    serialization: "advanced",
    stdio: ["ignore", "ignore", "inherit", "ipc"],
  });
  try {
    if (child.pid !== undefined) setPriority(child.pid, constants.priority.PRIORITY_LOW);
  } catch {
    // Where priorities are not ours to set it runs at the usual one.
  }
  return child;
}
