import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { createAim } from "../../app/picture/aim.ts";

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

it("tells of what is aimed at for a moment, not of what a pointer passes over", () => {
  const aim = createAim();
  const heard: (number | null)[] = [];
  const stop = aim.follow((frame) => heard.push(frame));
  for (const frame of [10, 11, 12]) {
    aim.at(frame);
    vi.advanceTimersByTime(20);
  }
  expect(heard).toEqual([]);
  vi.advanceTimersByTime(20);
  expect(heard).toEqual([12]);
  aim.at(null);
  vi.runAllTimers();
  expect(heard).toEqual([12, null]);
  stop();
  aim.at(40);
  vi.runAllTimers();
  expect(heard).toEqual([12, null]);
});
