import { relative, sep } from "node:path";
import { type Disk, type DiskOf, realDisk } from "../../electron/disk/disk.ts";

/** A disk that remembers every path it was ever given, inside its folder and with forward slashes. */
export function tracedDisk(touched: { add(path: string): unknown }): DiskOf {
  return (root) =>
    new Proxy(realDisk(root), {
      get(disk, name: keyof Disk) {
        return (...given: unknown[]) => {
          for (const path of name === "rename" || name === "copy" ? given.slice(0, 2) : given.slice(0, 1))
            touched.add(relative(root, String(path)).split(sep).join("/"));
          return (disk[name] as (...args: unknown[]) => unknown)(...given);
        };
      },
    });
}
