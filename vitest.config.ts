import { availableParallelism } from "node:os";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** `expect.poll` gives up after a second by itself, which a busy machine takes for nothing. */
const PATIENT = { poll: { timeout: 240_000 } };

/** Files of both projects stand in one queue: while a browser or ffmpeg is waited for, another file has the processor. */
const TOGETHER = {
  // Files share what is loaded, which takes longer than most of their tests: whatever a test puts in a global's place
  // it takes away again, and what it starts has a folder and a port of its own.
  isolate: false,
  // By itself Vitest leaves one processor out: of two that is half. More than eight browsers want too much memory.
  maxWorkers: Math.min(availableParallelism(), 8),
  expect: PATIENT,
};

/** The long files first, so that at the end there are only short ones to wait for. */
class MachineFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const isMachine = ({ project }: TestSpecification) => project.name === "machine";
    return [...sorted.filter(isMachine), ...sorted.filter((file) => !isMachine(file))];
  }
}

/** Two projects: `core` needs nothing; `machine` needs ffmpeg and a browser. */
export default defineConfig({
  test: {
    sequence: { sequencer: MachineFirst },
    projects: [
      {
        test: {
          ...TOGETHER,
          name: "core",
          include: ["tests/**/*.test.{ts,tsx}"],
          exclude: ["tests/media/**", "tests/browser/**", "tests/bench/**"],
          // A busy machine is slow, not wrong.
          testTimeout: 180_000,
          hookTimeout: 180_000,
        },
      },
      {
        test: {
          ...TOGETHER,
          name: "machine",
          include: ["tests/media/**/*.test.ts", "tests/browser/**/*.test.ts"],
          globalSetup: "tests/browser/preparedFolder.ts",
          testTimeout: 900_000,
          hookTimeout: 900_000,
        },
      },
    ],
  },
});
