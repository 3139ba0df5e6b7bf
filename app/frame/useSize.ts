import { type RefObject, useLayoutEffect, useState } from "react";

/** Size of an element in CSS px, following its changes; at least 1 x 1. */
export function useSize(element: RefObject<HTMLElement | null>): { width: number; height: number } {
  const [size, setSize] = useState({ width: 1, height: 1 });
  useLayoutEffect(() => {
    const target = element.current;
    if (!target) return;
    const measure = () => {
      const width = Math.max(1, Math.floor(target.clientWidth));
      const height = Math.max(1, Math.floor(target.clientHeight));
      setSize((now) => (now.width === width && now.height === height ? now : { width, height }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(target);
    return () => observer.disconnect();
  }, [element]);
  return size;
}
