import { availableParallelism } from "node:os";
import { defineConfig } from "vitest/config";

/** `expect.poll` gives up after a second by itself, which a busy machine takes for nothing. */
const PATIENT = { poll: { timeout: 120_000 } };

/** Two projects: `core` runs in parallel and needs nothing; `machine` needs ffmpeg and a browser and runs one file at a time. */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: "core",
          include: ["tests/**/*.test.{ts,tsx}"],
          exclude: ["tests/media/**", "tests/browser/**", "tests/bench/**"],
          // Files share what is loaded, which takes longer than most of their tests: whatever a test puts in a global's place
          // it takes away again.
          isolate: false,
          // By itself Vitest leaves one processor out: of two that is half.
          maxWorkers: availableParallelism(),
          // A busy machine is slow, not wrong.
          testTimeout: 180_000,
          hookTimeout: 180_000,
          expect: PATIENT,
        },
      },
      {
        test: {
          name: "machine",
          include: ["tests/media/**/*.test.ts", "tests/browser/**/*.test.ts"],
          fileParallelism: false,
          testTimeout: 400_000,
          hookTimeout: 400_000,
          expect: PATIENT,
        },
      },
    ],
  },
});
