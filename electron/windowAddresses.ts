import type { WindowAddresses } from "./host/windows.ts";
import type { StudyPorts } from "./studyPorts.ts";

/**
 * What a window is told of the study's other addresses: what a window there could not save lies in the browser under
 * that address, and only there can it be offered.
 */
export function windowAddresses(ports: StudyPorts): WindowAddresses & {
  /** These ports are the host's in this run. */
  opened(open: readonly number[]): void;
} {
  let ours: readonly number[] = [];
  return {
    opened(open) {
      ours = open;
    },
    notices(here) {
      const others = ports.known.filter((port) => port !== portOf(here));
      // The window's own path, which a program that has one of the ports must not learn.
      const base = here.pathname.replace(/api\/.*$/, "");
      return others.map((port) => (ours.includes(port) ? openWords(port, base) : takenWords(port)));
    },
    windowAt: (here) => ports.add(portOf(here)),
    leftNothing: (here) => ports.forget(portOf(here)),
  };
}

const portOf = ({ port }: URL) => Number(port);

function openWords(port: number, base: string): string {
  return `This study was also open at 127.0.0.1:${port} before. If a window there said that something was not saved, put http://127.0.0.1:${port}${base} into this window's address line: it is offered there.`;
}

function takenWords(port: number): string {
  return `This study was open at 127.0.0.1:${port} before, an address that another program has now. If a window there said that something was not saved, end that program and start Blademark again: it is offered then.`;
}
