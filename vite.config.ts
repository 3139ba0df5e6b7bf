import { join } from "node:path";
import react from "@vitejs/plugin-react";
import { defineConfig, type Plugin } from "vite";

/** What people see first, of all that is fetched when it is opened. */
const FIRST_PLACE = "places/measure/MeasurePlace.tsx";

/** The page names the parts of the first place, so that they come beside the program, not after it. */
const firstPlace: Plugin = {
  name: "first-place",
  transformIndexHtml: {
    order: "post",
    handler(html, { bundle = {} }) {
      const parts = Object.values(bundle).flatMap((part) => (part.type === "chunk" ? [part] : []));
      const place = parts.find((part) => part.facadeModuleId?.endsWith(FIRST_PLACE));
      const names = place ? [place.fileName, ...place.imports] : [];
      return names
        .filter((name) => !html.includes(name))
        .map((name) => ({
          tag: "link",
          attrs: { rel: "modulepreload", crossorigin: true, href: `./${name}` },
          injectTo: "head" as const,
        }));
    },
  },
};

export default defineConfig({
  root: "app",
  base: "./",
  plugins: [react(), firstPlace],
  resolve: { alias: { "@stdlib/assert-has-generator-support": join(import.meta.dirname, "app/noEval.cjs") } },
  build: { outDir: "../dist/app", emptyOutDir: true, sourcemap: false, chunkSizeWarningLimit: 1500 },
});
