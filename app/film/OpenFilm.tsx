import { lazy, Suspense } from "react";
import type { FilmDialogProps } from "./FilmDialog.tsx";

const FilmDialog = lazy(async () => ({ default: (await import("./FilmDialog.tsx")).FilmDialog }));

/** The dialog, loaded when it is first opened. */
export function OpenFilm(props: FilmDialogProps) {
  return (
    <Suspense fallback={null}>
      <FilmDialog {...props} />
    </Suspense>
  );
}
